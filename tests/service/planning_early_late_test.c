/* Harvests early and late in a plan. */
#include "plans.h"

#include <math.h>

/* Wanted a day before a start of tomorrow is ready: it is started all the same and cut a day early,
 * and the plan taken remembers it. */
static void a_batch_may_be_cut_a_day_early(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    house_open(&h);
    plans_seed(&h);
    plans_read(&h, &c);
    int crop = c.problem.products[0].crop, grow_days = c.problem.crops[crop].ways[0].grow_days;
    double whole = c.problem.crops[crop].ways[0].packed_kg_per_seed_kg;
    int wanted_day = c.problem.frozen_days + grow_days - 1;
    assert_true(plan_ready_day(&c.problem, 0, c.problem.frozen_days) <= wanted_day);
    plans_order(&h, "EARLY", wanted_day, 400);
    struct item_early_late early_late[] = {{.item = "MUNG", .days = -1, .yield = 900},
                                           {.item = "MUNG", .days = 1, .yield = 1050}};
    struct profile with = *h.lg->profile;
    assert_ok(planning_read(h.store, &with, h.fixed.now_ms, &h.arena, &c));
    assert_int_equal(c.problem.crops[crop].way_count, 1);
    assert_ok(plan_make(&h.arena, &c.problem, NULL, &outcome));
    assert_int_equal(outcome.met_pieces[0], 0);
    with.planning.early_late = early_late;
    with.planning.early_late_count = 2;
    assert_ok(planning_read(h.store, &with, h.fixed.now_ms, &h.arena, &c));
    assert_int_equal(c.problem.crops[crop].way_count, 3);
    const struct plan_way *ways = c.problem.crops[crop].ways;
    assert_int_equal(ways[1].grow_days, grow_days - 1);
    assert_int_equal(ways[2].grow_days, grow_days + 1);
    assert_true(fabs(ways[1].packed_kg_per_seed_kg - 0.9 * whole) < 1e-9);
    assert_true(fabs(ways[2].packed_kg_per_seed_kg - 1.05 * whole) < 1e-9);
    assert_ok(plan_make(&h.arena, &c.problem, NULL, &outcome));
    assert_int_equal(outcome.met_pieces[0], 400);
    json_t *plan = planning_json(&c, &outcome, &h.arena, "en");
    assert_int_equal(json_integer_value(json_object_get(
                         json_array_get(json_object_get(plan, "starts"), 0), "off_days")),
                     -1);
    json_decref(plan);
    assert_ok(house_send_json(&h, planning_take(&c, &outcome, NULL, 0, &h.arena)));
    assert_ok(planning_read(h.store, &with, h.fixed.now_ms, &h.arena, &c));
    assert_int_equal(c.problem.taken_count, 1);
    assert_int_equal(c.problem.taken[0].way, 1);
    /* a house that no longer allows it plans the start for its own day */
    plans_read(&h, &c);
    assert_int_equal(c.problem.taken[0].way, 0);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_batch_may_be_cut_a_day_early),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
