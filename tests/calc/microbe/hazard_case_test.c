#include "../../support.h"

#include "../near.h"
#include "calc/microbe/hazard_case.h"

/* A worse hazard, or one that grows, never gets the milder plan: at a tenth bad it passes no more
 * often. */
static void plans_grow_stricter_both_ways(void **state)
{
    (void)state;
    for (int concern = HAZARD_UTILITY; concern <= HAZARD_SEVERE; concern++) {
        double before = 1;
        for (int handling = HAZARD_REDUCED; handling <= HAZARD_INCREASED; handling++) {
            struct hazard_case c =
                hazard_case((enum hazard_concern)concern, (enum hazard_handling)handling);
            assert_ok(attribute_plan_check(&c.plan));
            double chance = accept_two_class(&c.plan, 0.1);
            assert_true(chance < before);
            before = chance;
            if (concern > HAZARD_UTILITY) {
                struct hazard_case milder =
                    hazard_case((enum hazard_concern)(concern - 1), (enum hazard_handling)handling);
                assert_true(chance <= accept_two_class(&milder.plan, 0.1));
            }
        }
    }
}

static void raw_sprouts_are_case_twelve(void **state)
{
    (void)state;
    struct hazard_case c = hazard_case(HAZARD_SERIOUS, HAZARD_INCREASED);
    assert_int_equal(c.number, 12);
    assert_int_equal(c.classes, 2);
    assert_int_equal(c.plan.samples, 20);
    assert_int_equal(c.plan.accept, 0);
    assert_int_equal(hazard_case(HAZARD_MODERATE, HAZARD_INCREASED).classes, 3);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plans_grow_stricter_both_ways),
        cmocka_unit_test(raw_sprouts_are_case_twelve),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
