/* A plan as people get it. */
#include "plans.h"

#include <string.h>

/* Why there is no bound is said in words, in the reader's language. */
static void a_solver_that_breaks_off_is_told_of(void **state)
{
    (void)state;
    struct house h;
    struct planning_case c;
    struct plan_outcome outcome;
    plans_open_order(&h, &c);
    assert_ok(planning_at_once(&c, &h.arena, &outcome));
    json_t *plan = planning_json(&c, &outcome, &h.arena, "en");
    assert_true(json_is_null(json_object_get(plan, "solver_says")));
    json_decref(plan);
    outcome.improvement.solver = FAIL1(SOLVER_CRASHED, "", "signal 9");
    plan = planning_json(&c, &outcome, &h.arena, "en");
    assert_string_equal(json_string_value(json_object_get(plan, "solver")), "solver-crashed");
    const char *says = json_string_value(json_object_get(plan, "solver_says"));
    assert_non_null(strstr(says, "The solver broke off (signal 9)."));
    json_t *spanish = planning_json(&c, &outcome, &h.arena, "es");
    assert_string_not_equal(json_string_value(json_object_get(spanish, "solver_says")), says);
    json_decref(spanish);
    json_decref(plan);
    house_close(&h);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_solver_that_breaks_off_is_told_of),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
