/* What closed days do to a planning problem and to what is said of it. */
#include "plans.h"

#include "evidence.h"

#include "base/civil.h"
#include "ledger/closing.h"

/* The house with one more row of closings. */
struct closing_house {
    struct house h;
    struct profile with;
    struct closing rows[4];
};

static void open_house(struct closing_house *x)
{
    house_open(&x->h);
    x->with = *x->h.lg->profile;
    x->with.planning.closings = x->rows;
    x->with.planning.closing_count = 0;
}

static int32_t day_of(const struct closing_house *x, int days)
{
    return (int32_t)(x->h.fixed.now_ms / PLANS_DAY_MS) + days;
}

static void close_days(struct closing_house *x, int from, int to, unsigned what)
{
    x->rows[x->with.planning.closing_count++] =
        (struct closing){day_of(x, from), day_of(x, to), 127, what, "inventory"};
}

static void read_case(struct closing_house *x, struct planning_case *out)
{
    assert_ok(planning_read(x->h.store, NULL, &x->with, x->h.fixed.now_ms, &x->h.arena, out));
}

static void nothing_is_done_on_a_closed_day(void **state)
{
    (void)state;
    struct closing_house x;
    struct planning_case c;
    open_house(&x);
    close_days(&x, 2, 2, CLOSES_SOAK);
    close_days(&x, 3, 3, CLOSES_HARVEST);
    close_days(&x, 4, 4, CLOSES_PACK);
    close_days(&x, 5, 5, CLOSES_DISPATCH);
    read_case(&x, &c);
    const struct plan_day *d = c.problem.days;
    assert_true(d[1].starts_max > 0 && d[1].treat_seed_kg > 0 && c.problem.works[0].limit[1] > 0);
    assert_true(d[2].starts_max == 0 && d[2].treat_seed_kg == 0 && d[2].soak_seed_kg == 0);
    assert_true(d[2].harvests_max > 0 && d[2].pack_kg > 0 && c.problem.works[0].limit[2] > 0);
    assert_true(d[3].harvests_max == 0 && d[3].harvest_bed_kg == 0 && d[3].wash_bed_kg == 0);
    assert_true(d[3].starts_max > 0 && c.problem.works[0].limit[3] == 0);
    assert_true(d[4].pack_kg == 0 && d[4].harvests_max > 0 && c.problem.works[0].limit[4] == 0);
    for (int i = 0; i < 8; i++) {
        assert_int_equal(c.problem.is_shut[i], i == 5);
    }
    assert_int_equal(c.closed[1].what, 0);
    assert_null(c.closed[1].reason);
    assert_int_equal(c.closed[3].what, CLOSES_HARVEST);
    assert_string_equal(c.closed[3].reason, "inventory");
    house_close(&x.h);
}

static const json_t *first_of(const json_t *plan, const char *list)
{
    const json_t *first = json_array_get(json_object_get(plan, list), 0);
    assert_non_null(first);
    return first;
}

static const char *text_of(const json_t *o, const char *key)
{
    const char *text = json_string_value(json_object_get(o, key));
    return text != NULL ? text : "";
}

static void what_is_wanted_leaves_on_the_open_day_before(void **state)
{
    (void)state;
    struct closing_house x;
    struct planning_case c;
    struct safety_choice choice;
    open_house(&x);
    close_days(&x, 13, 14, CLOSES_DISPATCH);
    plans_seed(&x.h);
    plans_order(&x.h, "O-1", 14, 1600);
    plans_order(&x.h, "O-2", 12, 10);
    read_case(&x, &c);
    assert_int_equal(c.problem.line_count, 2);
    const struct plan_line *moved = &c.problem.lines[1], *own = &c.problem.lines[0];
    assert_string_equal(moved->key, "O-1");
    assert_int_equal(moved->day, 12);
    assert_int_equal(moved->moved_days, 2);
    assert_int_equal(own->day, 12);
    assert_int_equal(own->moved_days, 0);
    assert_ok(planning_choose(&x.h.arena, &c, &(struct planning_ask){.seconds = 0}, &choice));
    assert_int_equal(choice.outcome.met_pieces[1], 1600);
    assert_int_equal(choice.outcome.met_days[1], 12);
    json_t *plan = planning_json(&c, &choice.outcome, &x.h.arena, "en");
    struct planning_why why;
    planning_why(&c, &choice.outcome, &x.with, &x.h.arena, &why);
    planning_board(&c, &choice.outcome, &why, &x.h.arena, "en", plan);
    const json_t *order = json_array_get(json_object_get(plan, "orders"), 1);
    assert_string_equal(text_of(order, "order"), "O-1");
    assert_string_equal(text_of(order, "day"), plans_day(&x.h, 12));
    assert_string_equal(text_of(order, "wanted_day"), plans_day(&x.h, 14));
    assert_string_equal(text_of(first_of(plan, "orders"), "wanted_day"), "");
    const json_t *day = json_array_get(json_object_get(plan, "capacity"), 13);
    const json_t *closed = json_object_get(day, "closed");
    assert_string_equal(json_string_value(json_array_get(json_object_get(closed, "what"), 0)),
                        "dispatch");
    assert_string_equal(
        text_of(closed, "sentence"),
        arena_printf(&x.h.arena, "%s: closed for dispatch (inventory).",
                     words_day(&x.h.arena, "en", (int32_t)(x.h.fixed.now_ms / PLANS_DAY_MS) + 13)));
    assert_true(json_is_null(json_object_get(first_of(plan, "capacity"), "closed")));
    json_decref(plan);
    house_close(&x.h);
}

/* What should have left before today stands on its own day: it goes on the next open one where it
 * is taken late. */
static void what_should_have_left_goes_late_or_not_at_all(void **state)
{
    (void)state;
    struct closing_house x;
    struct planning_case c;
    struct plan_outcome outcome;
    open_house(&x);
    house_batch(&x.h, "C1", true);
    plans_order(&x.h, "O-1", 1, 10);
    close_days(&x, -1, 1, CLOSES_DISPATCH);
    read_case(&x, &c);
    assert_int_equal(c.problem.line_count, 1);
    assert_int_equal(c.problem.lines[0].day, 1);
    assert_int_equal(c.problem.lines[0].moved_days, 0);
    assert_ok(plan_make(&x.h.arena, &c.problem, NULL, &outcome));
    assert_int_equal(outcome.short_count, 1);
    assert_int_equal(outcome.shorts[0].limit, PLAN_LIMIT_DISPATCH);
    struct late_group late = {.group = "", .days = 3, .cost_per_kg_day = 100};
    x.with.planning.late = &late;
    x.with.planning.late_count = 1;
    read_case(&x, &c);
    assert_ok(plan_make(&x.h.arena, &c.problem, NULL, &outcome));
    assert_int_equal(outcome.met_pieces[0], 10);
    assert_int_equal(outcome.met_days[0], 2);
    house_close(&x.h);
}

/* Four weeks of the same orders; the closed day has no forecast, the day before its own. */
static void a_closed_day_has_no_forecast(void **state)
{
    (void)state;
    struct closing_house x;
    struct planning_case c;
    open_house(&x);
    close_days(&x, 5, 5, CLOSES_DISPATCH);
    close_days(&x, -9, -9, CLOSES_DISPATCH);
    for (int day = -28; day < 0; day++) {
        if (day != -9) {
            plans_order(&x.h, arena_printf(&x.h.arena, "P%d", -day), day, 200);
        }
    }
    read_case(&x, &c);
    int64_t pieces[8] = {0};
    for (int i = 0; i < c.problem.line_count; i++) {
        const struct plan_line *line = &c.problem.lines[i];
        assert_null(line->key);
        if (line->day < 8) {
            pieces[line->day] += line->pieces;
        }
    }
    for (int day = 0; day < 8; day++) {
        assert_int_equal(pieces[day], day == 5 ? 0 : 200);
    }
    house_close(&x.h);
}

static void what_grows_is_emptied_on_the_next_open_day(void **state)
{
    (void)state;
    struct closing_house x;
    struct planning_case c;
    open_house(&x);
    house_grow(&x.h, "C2", "100 kg");
    read_case(&x, &c);
    int ready = c.problem.running[0].harvest_day;
    close_days(&x, ready, ready, CLOSES_HARVEST);
    close_days(&x, ready + 1, ready + 1, CLOSES_PACK);
    read_case(&x, &c);
    assert_int_equal(c.problem.running[0].harvest_day, ready + 2);
    house_close(&x.h);
}

static void a_start_taken_for_a_closed_day_is_left_out_and_told(void **state)
{
    (void)state;
    struct closing_house x;
    struct planning_case c;
    struct plan_outcome outcome;
    open_house(&x);
    plans_seed(&x.h);
    plans_order(&x.h, "O-1", 14, 1600);
    read_case(&x, &c);
    assert_ok(plan_make(&x.h.arena, &c.problem, NULL, &outcome));
    int taken = outcome.start_count, day = outcome.starts[0].day;
    int alike = 0;
    for (int i = 0; i < taken; i++) {
        alike += outcome.starts[i].day == day;
    }
    assert_ok(house_send_json(&x.h, planning_take(&c, &outcome, NULL, 0, &x.h.arena)));
    close_days(&x, day, day, CLOSES_SOAK);
    read_case(&x, &c);
    assert_int_equal(c.problem.taken_count, taken - alike);
    assert_int_equal(c.left_count, alike);
    assert_ok(plan_make(&x.h.arena, &c.problem, NULL, &outcome));
    for (int i = 0; i < outcome.start_count; i++) {
        assert_true(outcome.starts[i].day != day);
    }
    json_t *plan = planning_json(&c, &outcome, &x.h.arena, "en");
    struct planning_why why;
    planning_why(&c, &outcome, &x.with, &x.h.arena, &why);
    planning_board(&c, &outcome, &why, &x.h.arena, "en", plan);
    const json_t *dropped = first_of(plan, "dropped");
    assert_string_equal(text_of(dropped, "reason"), "closed");
    assert_string_equal(text_of(dropped, "day"), plans_day(&x.h, day));
    assert_non_null(strstr(text_of(dropped, "sentence"), "the house is closed then (inventory)"));
    json_decref(plan);
    house_close(&x.h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_is_done_on_a_closed_day),
        cmocka_unit_test(what_is_wanted_leaves_on_the_open_day_before),
        cmocka_unit_test(what_should_have_left_goes_late_or_not_at_all),
        cmocka_unit_test(a_closed_day_has_no_forecast),
        cmocka_unit_test(what_grows_is_emptied_on_the_next_open_day),
        cmocka_unit_test(a_start_taken_for_a_closed_day_is_left_out_and_told),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
