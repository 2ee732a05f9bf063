/* What each day's limits are used for. */
#include "plans.h"

#include <string.h>

static int64_t used_of(const json_t *day, const char *name, const char *used)
{
    return json_integer_value(json_object_get(json_object_get(day, name), used));
}

/* What people took and what grows asks for more than a day's limits: the plan says how much. */
static void days_that_are_overfull_are_said_to_be(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    plans_open_order(&h, &c);
    int crop = c.problem.products[0].crop, grow_days = c.problem.crops[crop].ways[0].grow_days;
    assert_true(c.problem.frozen_days > 0);
    const struct plan_taken taken[2] = {{0, 0, crop, 0, 100, PLAN_NONE},
                                        {0, 1, crop, 0, 100, PLAN_NONE}};
    struct plan_day *days = ARENA_ARRAY(&h.arena, struct plan_day, (size_t)c.problem.day_count);
    memcpy(days, c.problem.days, (size_t)c.problem.day_count * sizeof *days);
    days[0].treat_seed_kg = days[0].soak_seed_kg = 120;
    days[0].starts_max = 1;
    days[grow_days].harvests_max = 1;
    c.problem.days = days;
    c.problem.taken = taken;
    c.problem.taken_count = 2;
    assert_ok(plan_make(&h.arena, &c.problem, NULL, &outcome));
    json_t *list = planning_capacity_json(&c, &outcome, &h.arena, "en");
    const json_t *first = json_array_get(list, 0), *later = json_array_get(list, (size_t)grow_days);
    assert_int_equal(used_of(first, "starts", "used"), 2);
    assert_int_equal(used_of(first, "treat", "used_g"), 200000);
    assert_int_equal(used_of(first, "treat", "limit_g"), 120000);
    assert_int_equal(used_of(first, "soak", "used_g"), 200000);
    assert_int_equal(used_of(later, "harvests", "used"), 2);
    json_decref(list);
    house_close(&h);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(days_that_are_overfull_are_said_to_be),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
