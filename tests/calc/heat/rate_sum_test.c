#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/rate_sum.h"

static void the_rules_agree_on_a_straight_line(void **state)
{
    (void)state;
    const double rates[] = {1, 2, 3, 4, 5};
    struct rate_sum r;
    assert_ok(rate_sum(rates, 5, 2, &r));
    assert_near(r.trapezoid, 24, 1e-15);
    assert_near(r.simpson, 24, 1e-15);
    assert_near(r.rectangle, 30, 1e-15);
    assert_ok(rate_sum(rates, 4, 2, &r));
    assert_false(r.has_simpson);
    assert_ok(rate_sum(rates, 1, 2, &r));
    assert_near(r.rectangle, 2, 0);
    assert_near(r.trapezoid, 0, 0);
}

static void a_cubic_is_exact_by_simpson(void **state)
{
    (void)state;
    const double rates[] = {0, 1, 8};
    struct rate_sum r;
    assert_ok(rate_sum(rates, 3, 1, &r));
    assert_near(r.simpson, 4, 1e-15);
}

static void rates_that_mean_nothing_are_named(void **state)
{
    (void)state;
    const double rates[] = {1, -1, (double)NAN, 1e300};
    struct rate_sum r;
    struct result got = rate_sum(rates, 2, 1, &r);
    assert_code(got, FIELD_RANGE);
    assert_string_equal(got.field, "rates[1]");
    assert_code(rate_sum(rates + 2, 1, 1, &r), NUMBER_BAD);
    assert_code(rate_sum(rates, 1, 0, &r), FIELD_RANGE);
    assert_code(rate_sum(rates + 3, 1, 1e12, &r), CALC_OVERFLOW);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_rules_agree_on_a_straight_line),
        cmocka_unit_test(a_cubic_is_exact_by_simpson),
        cmocka_unit_test(rates_that_mean_nothing_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
