#include "../../support.h"

#include "../near.h"
#include "calc/water/breakpoint.h"

static void the_dose_is_the_sum(void **state)
{
    (void)state;
    struct breakpoint r;
    assert_ok(breakpoint_dose(2, 0.25, 0.5, 10, &r));
    assert_near(r.dose_mg_l, 20.75, 1e-15);
    assert_near(r.breakpoint_mg_l, 20, 0);
    assert_true(r.monochloramine_mg_l > 10.12 && r.monochloramine_mg_l < 10.13);
}

static void a_ratio_below_the_reaction_is_refused(void **state)
{
    (void)state;
    struct breakpoint r;
    assert_string_equal(breakpoint_dose(2, 0, 0, 7.4, &r).field, "ratio");
    assert_code(breakpoint_dose(2, 0, 0, (double)NAN, &r), NUMBER_BAD);
    assert_string_equal(breakpoint_dose(-1, 0, 0, 8, &r).field, "ammonia_n_mg_l");
    assert_string_equal(breakpoint_dose(1, -1, 0, 8, &r).field, "demand_mg_l");
    assert_string_equal(breakpoint_dose(1, 0, 1001, 8, &r).field, "residual_mg_l");
    assert_near(r.dose_mg_l, 0, 0);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_dose_is_the_sum),
        cmocka_unit_test(a_ratio_below_the_reaction_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
