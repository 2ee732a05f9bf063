/* Starts of the first open evening, rehearsed in a plan from the record. */
#include <math.h>

#include "plans.h"

static const json_t *first_of(const json_t *o, const char *key)
{
    return json_array_get(json_object_get(o, key), 0);
}

static struct house h;
static struct planning_case c;

/* Orders of each day from the eleventh on, more than a chamber a day. */
static int set_up(void **state)
{
    (void)state;
    plans_open(&h);
    for (int day = 9; day < 16; day++) {
        plans_order(&h, arena_printf(&h.arena, "O%d", day), day, 900);
    }
    plans_read(&h, &c);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    house_close(&h);
    return 0;
}

static void choose(const struct planning_ask *ask, struct safety_choice *out)
{
    assert_ok(planning_choose(&h.arena, &c, ask, out));
}

static const struct planning_ask at_once = {.seconds = 0};

static json_t *plan_of(const struct safety_choice *choice, const char *lang)
{
    json_t *plan = planning_json(&c, &choice->outcome, &h.arena, lang);
    planning_chance_put(&c, choice, &h.arena, lang, plan);
    return plan;
}

static void the_plan_starts_what_was_rehearsed_and_says_so(void **state)
{
    (void)state;
    struct safety_choice choice;
    choose(&at_once, &choice);
    assert_non_null(choice.tonight);
    int day = c.problem.frozen_days, starts = 0;
    double seed_kg = 0;
    assert_int_equal(choice.tonight->day, day);
    for (int i = 0; i < choice.outcome.start_count; i++) {
        const struct plan_placed *s = &choice.outcome.starts[i];
        assert_false(s->is_fixed);
        assert_int_equal(s->taken, PLAN_NONE);
        starts += s->day == day;
        seed_kg += s->day == day ? s->seed_kg : 0;
    }
    json_t *plan = plan_of(&choice, "en");
    const json_t *x = first_of(plan, "rehearsed");
    assert_int_equal(json_array_size(json_object_get(plan, "rehearsed")), 1);
    assert_string_equal(json_string_value(json_object_get(x, "item")), c.problem.crops[0].code);
    assert_string_equal(json_string_value(json_object_get(x, "day")), plans_day(&h, day));
    assert_int_equal(json_integer_value(json_object_get(x, "starts")), starts);
    assert_int_equal(json_integer_value(json_object_get(x, "seed_g")), llround(seed_kg * 1000));
    assert_int_equal(json_integer_value(json_object_get(x, "futures")), TONIGHT_FUTURES);
    assert_true(starts > 0);
    const char *sentence = json_string_value(json_object_get(x, "sentence"));
    bool other = json_integer_value(json_object_get(x, "planned")) != starts ||
                 json_integer_value(json_object_get(x, "planned_g")) !=
                     json_integer_value(json_object_get(x, "seed_g"));
    assert_non_null(strstr(sentence, other ? " less on average (standard error "
                                           : "nothing else that was tried costs less."));
    json_t *spanish = plan_of(&choice, "es");
    assert_non_null(strstr(
        json_string_value(json_object_get(first_of(spanish, "rehearsed"), "sentence")), "futuros"));
    json_decref(spanish);
    json_decref(plan);
}

static void asked_twice_it_says_the_same(void **state)
{
    (void)state;
    struct safety_choice once, again;
    choose(&at_once, &once);
    choose(&at_once, &again);
    json_t *x = plan_of(&once, "en"), *y = plan_of(&again, "en");
    assert_true(json_equal(x, y));
    json_decref(x);
    json_decref(y);
}

/* A share that the least cost meets anyway is planned like it. One that takes more cover is not
 * rehearsed: that asks for the least cost alone. */
static void a_share_that_takes_more_cover_is_not_rehearsed(void **state)
{
    (void)state;
    struct safety_choice least, choice;
    choose(&at_once, &least);
    choose(&(struct planning_ask){.service = 0.9}, &choice);
    json_t *x = plan_of(&least, "en"), *y = plan_of(&choice, "en");
    assert_true(json_equal(json_object_get(x, "rehearsed"), json_object_get(y, "rehearsed")));
    assert_true(json_equal(json_object_get(x, "starts"), json_object_get(y, "starts")));
    json_decref(x);
    json_decref(y);
    choose(&(struct planning_ask){.service = 1}, &choice);
    assert_true(choice.safety.level[0] > least.safety.level[0]);
    assert_null(choice.tonight);
    y = plan_of(&choice, "en");
    assert_int_equal(json_array_size(json_object_get(y, "rehearsed")), 0);
    json_decref(y);
}

static void a_stop_leaves_the_plan_as_it_is(void **state)
{
    (void)state;
    struct safety_choice choice;
    atomic_bool stop = true;
    choose(&(struct planning_ask){.stop = &stop}, &choice);
    assert_null(choice.tonight);
    assert_true(choice.outcome.start_count > 0);
}

/* What is taken and done as planned is not planned again the next time. */
static void a_plan_taken_is_kept_as_it_was(void **state)
{
    (void)state;
    struct safety_choice choice;
    choose(&at_once, &choice);
    assert_ok(house_send_json(&h, planning_take(&c, &choice.outcome, NULL, 0, &h.arena)));
    plans_read(&h, &c);
    assert_int_equal(c.problem.taken_count, choice.outcome.start_count);
    choose(&at_once, &choice);
    int day = c.problem.frozen_days;
    for (int i = 0; i < choice.outcome.start_count; i++) {
        const struct plan_placed *s = &choice.outcome.starts[i];
        assert_true(s->taken == PLAN_NONE || c.problem.taken[s->taken].day == s->day);
        assert_int_equal(s->is_fixed, s->day < day && s->taken != PLAN_NONE);
    }
}

/* Three chambers are taken for the evening after: the first open evening stays without a start
 * where as much as can be is kept, and what the search was told to keep it is no cost. */
static void what_is_rehearsed_takes_no_chamber_from_what_is_kept(void **state)
{
    (void)state;
    struct safety_choice choice;
    const struct plan_way *way = &c.problem.crops[c.problem.products[0].crop].ways[0];
    const char *day = plans_day(&h, c.problem.frozen_days + 1);
    json_t *starts = json_array();
    for (int i = 0; i < 3; i++) {
        json_array_append_new(starts, json_pack("{s:s,s:s,s:s,s:s,s:i}", "day", day, "place",
                                                c.problem.chambers[i].code, "item", "MUNG", "seed",
                                                "90 kg", "grow_days", way->grow_days));
    }
    assert_ok(house_send_json(
        &h, json_pack("{s:s,s:o,s:[]}", "kind", "plan-take", "starts", starts, "promises")));
    plans_read(&h, &c);
    assert_int_equal(c.problem.taken_count, 3);
    assert_ok(plans_change(&h, &c, "{'keep':'most'}"));
    choose(&at_once, &choice);
    int kept = 0;
    for (int i = 0; i < choice.outcome.start_count; i++) {
        kept += choice.outcome.starts[i].taken != PLAN_NONE;
    }
    assert_int_equal(kept, 3);
    /* one of them can't be kept any more */
    assert_ok(plans_change(&h, &c,
                           "{'keep':'most','changes':[{'what':'chamber-out',"
                           "'chamber':'C1'}]}"));
    struct planning_case free = c;
    free.problem.change_cost = free.change_cost;
    choose(&at_once, &choice);
    double cost = choice.outcome.improvement.cost;
    assert_ok(planning_choose(&h.arena, &free, &at_once, &choice));
    assert_true(fabs(cost - choice.outcome.improvement.cost) < c.problem.change_cost / 2);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(the_plan_starts_what_was_rehearsed_and_says_so),
        TEST(asked_twice_it_says_the_same),
        TEST(a_share_that_takes_more_cover_is_not_rehearsed),
        TEST(a_stop_leaves_the_plan_as_it_is),
        TEST(a_plan_taken_is_kept_as_it_was),
        TEST(what_is_rehearsed_takes_no_chamber_from_what_is_kept),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
