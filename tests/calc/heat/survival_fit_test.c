#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/survival_fit.h"

static void a_line_gives_what_a_line_fit_gives(void **state)
{
    (void)state;
    static const double time[] = {0, 1, 2, 3, 4, 5};
    static const double y[] = {7.02, 6.38, 5.51, 4.95, 4.05, 3.49};
    struct arena a;
    struct survival_fit fit;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_ok(survival_fit(&a, SURVIVAL_FIT_LINE, time, y, 6, &fit));
    /* Computed here: least squares of the same counts. */
    assert_near(fit.fit.param[0], 7.0333333333, 1e-8);
    assert_near(fit.fit.param[1], 1.3888888889, 1e-8);
    assert_near(fit.fit.s, 0.0885061, 1e-6);
    assert_near(fit.seen, 7.0333333333 - 3.49, 1e-8);
    arena_release(&a);
}

static void a_simpler_truth_is_found_by_a_richer_model(void **state)
{
    (void)state;
    static const double time[] = {0, 1, 2, 3, 4, 5, 6};
    static const double y[] = {8, 7, 6, 5, 4, 3, 2};
    struct arena a;
    struct survival_fit fit;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_ok(survival_fit(&a, SURVIVAL_FIT_WEIBULL, time, y, 7, &fit));
    assert_near(fit.fit.param[2], 1, 1e-6);
    assert_ok(survival_fit(&a, SURVIVAL_FIT_SHOULDER, time, y, 7, &fit));
    assert_true(fit.fit.rss < 1e-8);
    arena_release(&a);
}

static void too_few_or_odd_points_are_refused(void **state)
{
    (void)state;
    static const double time[] = {0, 1, 2, 3};
    static const double rising[] = {1, 2, 3, 4};
    static const double bad[] = {1, (double)NAN, 3, 4};
    struct arena a;
    struct survival_fit fit;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_code(survival_fit(&a, SURVIVAL_FIT_WEIBULL, time, rising, 3, &fit), FIELD_RANGE);
    assert_code(survival_fit(&a, SURVIVAL_FIT_WEIBULL, time, rising, 4, &fit), FIELD_RANGE);
    assert_code(survival_fit(&a, SURVIVAL_FIT_LINE, time, bad, 4, &fit), NUMBER_BAD);
    assert_code(survival_fit(&a, SURVIVAL_FIT_POWER, time, rising, 4, &fit), FIELD_RANGE);
    assert_ok(survival_fit(&a, SURVIVAL_FIT_POWER, rising, rising, 4, &fit));
    assert_near(fit.fit.param[1], 1, 1e-8);
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_line_gives_what_a_line_fit_gives),
        cmocka_unit_test(a_simpler_truth_is_found_by_a_richer_model),
        cmocka_unit_test(too_few_or_odd_points_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
