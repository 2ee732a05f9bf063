#include "../../support.h"

#include "../near.h"
#include "calc/microbe/lognormal_detection.h"

static const struct lognormal_detection usual = {-2, 0.8, 25, 5};

static void the_rejected_mean_is_rejected_with_that_confidence(void **state)
{
    (void)state;
    struct lognormal_detection_report r;
    for (double sd = 0; sd <= 5; sd += 0.25) {
        for (int64_t tests = 1; tests <= 1000000; tests *= 100) {
            struct lognormal_detection d = {-2, sd, 25, tests};
            assert_ok(lognormal_rejected(&d, 0.99, &d.mean_log10));
            assert_ok(lognormal_detection(&d, &r));
            assert_near(r.chance, 0.99, 1e-9);
        }
    }
}

static void without_spread_it_is_the_homogeneous_lot(void **state)
{
    (void)state;
    struct lognormal_detection_report r, near_zero;
    double rejected, rejected_near_zero;
    struct lognormal_detection d = usual;
    d.sd_log10 = 0;
    assert_ok(lognormal_detection(&d, &r));
    assert_ok(lognormal_rejected(&d, 0.95, &rejected));
    assert_near(r.chance_one, -expm1(-0.25), 1e-14);
    assert_near(r.arithmetic_mean_per_g, 0.01, 1e-14);
    assert_near(rejected, log10(-log(0.05) / 125), 1e-12);
    d.sd_log10 = 1e-9;
    assert_ok(lognormal_detection(&d, &near_zero));
    assert_ok(lognormal_rejected(&d, 0.95, &rejected_near_zero));
    assert_near(near_zero.chance_one, r.chance_one, 1e-12);
    assert_near(rejected_near_zero, rejected, 1e-9);
}

static void the_ends_of_the_range_stay_chances(void **state)
{
    (void)state;
    struct lognormal_detection_report r;
    double rejected;
    struct lognormal_detection d = {15, 5, 1e9, 1000000};
    assert_ok(lognormal_detection(&d, &r));
    assert_ok(lognormal_rejected(&d, 0.9999, &rejected));
    assert_true(r.chance <= 1 && r.chance > 0.99 && isfinite(rejected));
    d = (struct lognormal_detection){-30, 5, 1e-6, 1};
    assert_ok(lognormal_detection(&d, &r));
    assert_ok(lognormal_rejected(&d, 0.5, &rejected));
    assert_true(r.chance >= 0 && r.chance < 1e-9 && isfinite(rejected));
}

static void values_outside_are_refused_by_name(void **state)
{
    (void)state;
    struct lognormal_detection_report r;
    double rejected;
    struct lognormal_detection d = usual;
    d.sd_log10 = -0.1;
    struct result refused = lognormal_detection(&d, &r);
    assert_code(refused, FIELD_RANGE);
    assert_string_equal(refused.field, "sd_log10");
    assert_code(lognormal_rejected(&d, 0.95, &rejected), FIELD_RANGE);
    d = usual;
    d.mean_log10 = NAN;
    assert_code(lognormal_detection(&d, &r), NUMBER_BAD);
    d = usual;
    d.portion_g = 0;
    assert_code(lognormal_detection(&d, &r), FIELD_RANGE);
    d = usual;
    d.tests = 0;
    assert_code(lognormal_detection(&d, &r), FIELD_RANGE);
    assert_code(lognormal_rejected(&usual, INFINITY, &rejected), NUMBER_BAD);
    assert_code(lognormal_rejected(&usual, 1, &rejected), FIELD_RANGE);
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
