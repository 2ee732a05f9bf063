#include "../../support.h"

#include "../near.h"
#include "calc/microbe/lognormal_detection.h"

static const struct lognormal_detection usual = {-2, 0.8, 25, 5, 0.95};

static void the_rejected_mean_is_rejected_with_that_confidence(void **state)
{
    (void)state;
    struct lognormal_detection_report r, back;
    for (double sd = 0; sd <= 5; sd += 0.25) {
        for (int64_t tests = 1; tests <= 1000000; tests *= 100) {
            struct lognormal_detection d = {-2, sd, 25, tests, 0.99};
            assert_ok(lognormal_detection(&d, &r));
            d.mean_log10 = fmax(fmin(r.rejected_mean_log10, 15), -30);
            assert_ok(lognormal_detection(&d, &back));
            assert_near(back.chance, 0.99, 1e-9);
        }
    }
}

static void without_spread_it_is_the_homogeneous_lot(void **state)
{
    (void)state;
    struct lognormal_detection_report r;
    struct lognormal_detection d = usual;
    d.sd_log10 = 0;
    assert_ok(lognormal_detection(&d, &r));
    assert_near(r.chance_one, -expm1(-0.25), 1e-14);
    assert_near(r.arithmetic_mean_per_g, 0.01, 1e-14);
    d.sd_log10 = 1e-9;
    struct lognormal_detection_report near_zero;
    assert_ok(lognormal_detection(&d, &near_zero));
    assert_near(near_zero.chance_one, r.chance_one, 1e-12);
    assert_near(near_zero.rejected_mean_log10, r.rejected_mean_log10, 1e-9);
}

static void the_ends_of_the_range_stay_chances(void **state)
{
    (void)state;
    struct lognormal_detection_report r;
    struct lognormal_detection d = {15, 5, 1e9, 1000000, 0.9999};
    assert_ok(lognormal_detection(&d, &r));
    assert_true(r.chance <= 1 && r.chance > 0.99);
    d = (struct lognormal_detection){-30, 5, 1e-6, 1, 0.5};
    assert_ok(lognormal_detection(&d, &r));
    assert_true(r.chance >= 0 && r.chance < 1e-9);
    assert_true(isfinite(r.rejected_mean_log10));
}

static void values_outside_are_refused_by_name(void **state)
{
    (void)state;
    struct lognormal_detection_report r;
    struct lognormal_detection d = usual;
    d.sd_log10 = -0.1;
    struct result refused = lognormal_detection(&d, &r);
    assert_code(refused, FIELD_RANGE);
    assert_string_equal(refused.field, "sd_log10");
    d = usual;
    d.mean_log10 = NAN;
    assert_code(lognormal_detection(&d, &r), NUMBER_BAD);
    d = usual;
    d.portion_g = 0;
    assert_code(lognormal_detection(&d, &r), FIELD_RANGE);
    d = usual;
    d.tests = 0;
    assert_code(lognormal_detection(&d, &r), FIELD_RANGE);
    d = usual;
    d.confidence = INFINITY;
    assert_code(lognormal_detection(&d, &r), NUMBER_BAD);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_rejected_mean_is_rejected_with_that_confidence),
        cmocka_unit_test(without_spread_it_is_the_homogeneous_lot),
        cmocka_unit_test(the_ends_of_the_range_stay_chances),
        cmocka_unit_test(values_outside_are_refused_by_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
