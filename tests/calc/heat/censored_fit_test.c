#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/censored_fit.h"

static const double time[] = {0, 1, 2, 3, 4, 5};
static const double y[] = {7.02, 6.38, 5.51, 4.95, 4.05, 3.49};

/* Without any below the limit it is the line of least squares, its scatter over n instead of n - 2
 * (computed here: 0.0885061 sqrt(4 / 6)). */
static void with_none_below_it_is_least_squares(void **state)
{
    (void)state;
    struct censored_fit fit;
    assert_ok(censored_fit(time, y, 6, NULL, NULL, 0, &fit));
    assert_near(fit.intercept, 7.0333333333, 1e-9);
    assert_near(fit.slope, -0.72, 1e-9);
    assert_near(fit.s, 0.0885061 * sqrt(4.0 / 6), 1e-6);
    assert_near(fit.d, 1 / 0.72, 1e-9);
    assert_true(fit.d_low < fit.d && fit.d < fit.d_high);
}

/* A limit far above the line says nothing; one just where the line is pulls it down. */
static void a_limit_tells_only_what_it_can(void **state)
{
    (void)state;
    struct censored_fit all, high, low;
    static const double late[] = {6, 7};
    static const double above[] = {9, 9}, at[] = {2.2, 1.4};
    assert_ok(censored_fit(time, y, 6, NULL, NULL, 0, &all));
    assert_ok(censored_fit(time, y, 6, late, above, 2, &high));
    assert_near(high.slope, all.slope, 1e-9);
    assert_near(high.s, all.s, 1e-9);
    assert_ok(censored_fit(time, y, 6, late, at, 2, &low));
    assert_true(low.slope < all.slope);
    assert_int_equal(low.below, 2);
}

/* Units of time change nothing but the unit. */
static void seconds_give_what_minutes_give(void **state)
{
    (void)state;
    double seconds[6];
    struct censored_fit min, sec;
    static const double late_min[] = {6}, late_s[] = {360}, limit[] = {2.5};
    for (size_t i = 0; i < 6; i++) {
        seconds[i] = 60 * time[i];
    }
    assert_ok(censored_fit(time, y, 6, late_min, limit, 1, &min));
    assert_ok(censored_fit(seconds, y, 6, late_s, limit, 1, &sec));
    assert_near(sec.d, 60 * min.d, 1e-9);
    assert_near(sec.s, min.s, 1e-10);
    assert_near(sec.d_high, 60 * min.d_high, 1e-6);
}

static void what_has_no_top_is_refused(void **state)
{
    (void)state;
    struct censored_fit fit;
    static const double exact[] = {7, 6, 5, 4, 3, 2}, rising[] = {1, 2, 2.5, 4.2, 5, 6.1};
    static const double bad[] = {7, (double)NAN, 5, 4, 3, 2};
    assert_code(censored_fit(time, exact, 6, NULL, NULL, 0, &fit), FIELD_RANGE);
    assert_code(censored_fit(time, rising, 6, NULL, NULL, 0, &fit), FIELD_RANGE);
    assert_code(censored_fit(time, y, 2, NULL, NULL, 0, &fit), FIELD_RANGE);
    assert_code(censored_fit(time, bad, 6, NULL, NULL, 0, &fit), NUMBER_BAD);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(with_none_below_it_is_least_squares),
        cmocka_unit_test(a_limit_tells_only_what_it_can),
        cmocka_unit_test(seconds_give_what_minutes_give),
        cmocka_unit_test(what_has_no_top_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
