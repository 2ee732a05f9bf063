#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/water/ct_regression.h"

/* Computed here over all 588 cells: the exponential curve gives 1.0001 to 1.174 of the table, the
 * power curve 0.888 to 1.081. It holds the table against its curves as well. */
static void how_far_the_curves_lie_from_the_table(void **state)
{
    (void)state;
    static const double temps[] = {0.5, 5, 10, 15, 20, 25};
    double power_low = 9, power_high = 0, low = 9, high = 0;
    for (size_t t = 0; t < 6; t++) {
        for (int c = 2; c <= 15; c++) {
            for (double ph = 6; ph <= 9; ph += 0.5) {
                struct ct_water water = {c / 5.0, ph, temps[t]};
                struct ct_cell cell;
                double power = 0, exponential = 0;
                assert_ok(ct_table_find(CT_GIARDIA, CT_FREE_CHLORINE, &water, &cell));
                assert_ok(ct_power(3, &water, &power));
                assert_ok(ct_exponential(3, &water, &exponential));
                power_low = fmin(power_low, power / cell.ct);
                power_high = fmax(power_high, power / cell.ct);
                low = fmin(low, exponential / cell.ct);
                high = fmax(high, exponential / cell.ct);
            }
        }
    }
    assert_true(fabs(power_low - 0.888) <= 0.0005);
    assert_true(fabs(power_high - 1.081) <= 0.0005);
    assert_true(fabs(low - 1.0001) <= 0.00005);
    assert_true(fabs(high - 1.174) <= 0.0005);
}

static void the_curve_changes_at_its_temperature(void **state)
{
    (void)state;
    double cold = 0, warm = 0;
    struct ct_water water = {1, 7, 12.499999};
    assert_ok(ct_exponential(1, &water, &cold));
    water.temp_c = 12.5;
    assert_ok(ct_exponential(1, &water, &warm));
    assert_true(fabs(cold - warm) > 0.01 && fabs(cold - warm) < 2);
}

static void outside_its_range_nothing_is_said(void **state)
{
    (void)state;
    double ct = 1;
    struct ct_water water = {1, 9.1, 10};
    assert_false(ct_regression_covers(&water));
    assert_string_equal(ct_power(1, &water, &ct).field, "ph");
    assert_near(ct, 0, 0);
    water.ph = 7;
    assert_true(ct_regression_covers(&water));
    assert_string_equal(ct_exponential(3.1, &water, &ct).field, "log");
    assert_code(ct_power((double)NAN, &water, &ct), NUMBER_BAD);
    assert_ok(ct_power(0, &water, &ct));
    assert_near(ct, 0, 0);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(how_far_the_curves_lie_from_the_table),
        cmocka_unit_test(the_curve_changes_at_its_temperature),
        cmocka_unit_test(outside_its_range_nothing_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
