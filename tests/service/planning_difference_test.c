/* A plan against the one taken, and a trial against the plan without its changes. */
#include "plans.h"

#include <math.h>

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    plans_seed(&h);
    plans_order(&h, "O-1", 14, 1600);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static int64_t number(const json_t *o, const char *key)
{
    return json_integer_value(json_object_get(o, key));
}

static void plan(struct planning_case *c, struct plan_outcome *outcome)
{
    assert_ok(planning_at_once(c, &h.arena, outcome));
}

static void nothing_changed_is_no_difference(void **state)
{
    struct planning_case c;
    struct plan_outcome x, again;
    plans_read(&h, &c);
    plan(&c, &x);
    assert_ok(house_send_json(&h, planning_take(&c, &x, NULL, 0, &h.arena)));
    plans_read(&h, &c);
    plan(&c, &again);
    json_t *d = planning_difference(&c, &again, true, &c, &again, &h.arena, "en");
    assert_int_equal(number(d, "kept"), x.start_count);
    assert_int_equal(
        number(d, "filled") + number(d, "moved") + number(d, "gone") + number(d, "added"), 0);
    assert_int_equal(json_array_size(json_object_get(d, "lines")), 0);
    json_decref(d);
}

/* Goods shared out among orders otherwise than at once are no difference: only a start is one. */
static void only_another_start_makes_an_order_differ(void **state)
{
    struct planning_case c;
    struct plan_outcome x, standing, shared;
    (void)state;
    plans_order(&h, "O-2", 15, 300);
    plans_read(&h, &c);
    plan(&c, &x);
    assert_ok(house_send_json(&h, planning_take(&c, &x, NULL, 0, &h.arena)));
    plans_read(&h, &c);
    struct planning_case kept = c;
    kept.problem = planning_standing(&c.problem);
    plan(&kept, &standing);
    assert_true(standing.start_count > 0);
    int64_t met[] = {standing.met_pieces[0] - 100, standing.met_pieces[1] + 100};
    assert_int_equal(c.problem.line_count, 2);
    shared = standing;
    shared.met_pieces = met;
    json_t *d = planning_difference(&c, &standing, true, &c, &shared, &h.arena, "en");
    assert_int_equal(number(d, "kept"), standing.start_count);
    assert_int_equal(json_array_size(json_object_get(d, "lines")), 0);
    json_decref(d);
    shared.start_count--;
    d = planning_difference(&c, &standing, true, &c, &shared, &h.arena, "en");
    assert_int_equal(number(d, "gone"), 1);
    int64_t was = 0, is = 0;
    size_t i;
    json_t *line;
    json_array_foreach(json_object_get(d, "lines"), i, line)
    {
        was += number(json_object_get(line, "before"), "met");
        is += number(json_object_get(line, "after"), "met");
    }
    assert_true(is < was);
    json_decref(d);
}

/* The whole difference, put together again from its JSON alone, gives the second plan. */
static void starts_of_the_second_plan_are_those_the_difference_names(void **state)
{
    struct planning_case c, out;
    struct plan_outcome before, after;
    plans_read(&h, &c);
    plan(&c, &before);
    out = c;
    assert_ok(plans_change(&h, &out,
                           "{'changes':[{'what':'chamber-out','chamber':'C1'},"
                           "{'what':'order','order':'O-1','pieces':2400}]}"));
    plan(&out, &after);
    json_t *d = planning_difference(&c, &before, false, &out, &after, &h.arena, "en");
    size_t i;
    json_t *s;
    int there = 0, was = 0;
    json_array_foreach(json_object_get(d, "starts"), i, s)
    {
        const json_t *now = json_object_get(s, "after");
        was += !json_is_null(json_object_get(s, "before"));
        if (json_is_null(now)) {
            assert_string_equal(json_string_value(json_object_get(s, "kind")), "gone");
            continue;
        }
        bool found = false;
        for (int k = 0; k < after.start_count; k++) {
            const struct plan_placed *p = &after.starts[k];
            found = found || (strcmp(json_string_value(json_object_get(now, "day")),
                                     plans_day(&h, p->day)) == 0 &&
                              strcmp(json_string_value(json_object_get(now, "chamber")),
                                     out.problem.chambers[p->chamber].code) == 0 &&
                              number(now, "seed_g") == llround(p->seed_kg * 1000));
        }
        assert_true(found);
        there++;
    }
    assert_int_equal(there, after.start_count);
    assert_int_equal(was, before.start_count);
    const json_t *line = json_array_get(json_object_get(d, "lines"), 0);
    assert_string_equal(json_string_value(json_object_get(line, "order")), "O-1");
    assert_int_equal(number(json_object_get(line, "before"), "met"), 1600);
    assert_int_equal(number(json_object_get(line, "after"), "pieces"), 2400);
    assert_non_null(strstr(json_string_value(json_object_get(line, "sentence")), "Order O-1 of"));
    json_decref(d);
}

/* The same start, cut a day later: that is what is said of it. */
static void a_start_cut_on_another_day_says_so(void **state)
{
    struct planning_case c;
    struct plan_outcome before, after;
    (void)state;
    plans_read(&h, &c);
    plan(&c, &before);
    after = before;
    assert_true(before.start_count > 0);
    struct plan_placed *starts =
        ARENA_ARRAY(&h.arena, struct plan_placed, (size_t)before.start_count);
    memcpy(starts, before.starts, (size_t)before.start_count * sizeof *starts);
    starts[0].harvest_day++;
    starts[0].last_day++;
    after.starts = starts;
    json_t *d = planning_difference(&c, &before, false, &c, &after, &h.arena, "en"), *s;
    assert_int_equal(number(d, "moved"), 1);
    const char *says = NULL;
    size_t i;
    json_array_foreach(json_object_get(d, "starts"), i, s)
    {
        if (strcmp(json_string_value(json_object_get(s, "kind")), "moved") == 0) {
            says = json_string_value(json_object_get(s, "sentence"));
        }
    }
    const int32_t first = c.problem.first_day;
    assert_string_equal(
        says, arena_printf(&h.arena, "MUNG soaked on %s in %s is harvested on %s, not %s.",
                           words_day(&h.arena, "en", first + starts[0].day),
                           c.problem.chambers[starts[0].chamber].code,
                           words_day(&h.arena, "en", first + starts[0].harvest_day),
                           words_day(&h.arena, "en", first + starts[0].harvest_day - 1)));
    json_decref(d);
}

/* A batch lost or an order more: what is taken stays, and only what must be is added. */
static void a_replan_keeps_what_is_taken(void **state)
{
    struct planning_case c;
    struct plan_outcome x, standing, again;
    plans_read(&h, &c);
    plan(&c, &x);
    assert_ok(house_send_json(&h, planning_take(&c, &x, NULL, 0, &h.arena)));
    plans_order(&h, "O-2", 16, 500);
    plans_read(&h, &c);
    struct planning_case kept = c, wished = c;
    kept.problem = planning_standing(&c.problem);
    plan(&kept, &standing);
    assert_ok(plans_change(&h, &wished, "{'keep':'most'}"));
    plan(&wished, &again);
    json_t *d = planning_difference(&c, &standing, true, &wished, &again, &h.arena, "es");
    assert_int_equal(number(d, "kept") + number(d, "filled"), x.start_count);
    assert_int_equal(number(d, "gone"), 0);
    json_t *sums = planning_sums(&c, &standing), *now = planning_sums(&wished, &again);
    assert_true(number(now, "booked_met") >= number(sums, "booked_met"));
    assert_int_equal(number(now, "booked"), 2100);
    json_decref(sums);
    json_decref(now);
    json_decref(d);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(nothing_changed_is_no_difference),
        TEST(only_another_start_makes_an_order_differ),
        TEST(starts_of_the_second_plan_are_those_the_difference_names),
        TEST(a_start_cut_on_another_day_says_so),
        TEST(a_replan_keeps_what_is_taken),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
