#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/seed_curve.h"

static const struct seed_kill killing = {
    .reference_c = 58, .z_c = 6.2, .d_s = 36, .tested_max_c = 58, .seen = 5};
static const struct seed_loss loss = {.model = SEED_LOSS_LOG_LINEAR,
                                      .initial_share = 0.96,
                                      .reference_c = 80,
                                      .z_c = 4.87,
                                      .d_s = 6768.7};

static void nothing_is_credited_beyond_what_was_measured(void **state)
{
    (void)state;
    struct seed_curve hot, hotter;
    assert_ok(seed_curve_make(&killing, &loss, 63.56, &hot));
    assert_ok(seed_curve_make(&killing, &loss, 90, &hotter));
    assert_near(hot.d_s, hotter.d_s, 1e-12);
    assert_near(seed_curve_reduction(&hotter, 1e9), 5, 0);
    assert_true(isinf(seed_curve_earliest_s(&hotter, 5.01)));
    assert_near(seed_curve_earliest_s(&hotter, 5), 5 * hot.d_s, 1e-12);
    assert_true(seed_curve_germination(&hotter, 60) < 0.1);
}

static void the_latest_time_leaves_just_enough(void **state)
{
    (void)state;
    const enum seed_loss_model models[] = {SEED_LOSS_LOG_LINEAR, SEED_LOSS_SHOULDER,
                                           SEED_LOSS_PROBIT};
    for (size_t i = 0; i < 3; i++) {
        struct seed_loss one = loss;
        struct seed_curve c;
        one.model = models[i];
        one.shoulder_s = 5000;
        one.species = longevity_species_at(0);
        one.moisture_pct = 9;
        assert_ok(seed_curve_make(&killing, &one, 70, &c));
        double latest_s = seed_curve_latest_s(&c, 0.9);
        assert_near(seed_curve_germination(&c, latest_s), 0.9, 1e-9);
        assert_near(seed_curve_germination(&c, 0), 0.96, 1e-9);
        assert_near(seed_curve_latest_s(&c, 0.97), 0, 0);
    }
}

static void constants_that_mean_nothing_are_named(void **state)
{
    (void)state;
    struct seed_curve c;
    struct seed_kill bad = killing;
    bad.d_s = 0;
    struct result r = seed_curve_make(&bad, &loss, 60, &c);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "d_s");
    bad = killing;
    bad.z_c = 0.01;
    assert_code(seed_curve_make(&bad, &loss, 20, &c), CALC_OVERFLOW);
    struct seed_loss odd = loss;
    odd.initial_share = 1;
    r = seed_curve_make(&killing, &odd, 60, &c);
    assert_string_equal(r.field, "germination_pct");
    assert_code(seed_curve_make(&killing, &loss, (double)NAN, &c), NUMBER_BAD);
}

static void a_loss_gives_its_time(void **state)
{
    (void)state;
    double d_s;
    assert_ok(seed_loss_d_s(60, 90, 9, &d_s));
    assert_near(d_s, 60, 1e-12);
    assert_code(seed_loss_d_s(60, 90, 90, &d_s), FIELD_RANGE);
    assert_code(seed_loss_d_s(0, 90, 9, &d_s), FIELD_RANGE);
    assert_code(seed_loss_d_s(60, 90, 0, &d_s), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_is_credited_beyond_what_was_measured),
        cmocka_unit_test(the_latest_time_leaves_just_enough),
        cmocka_unit_test(constants_that_mean_nothing_are_named),
        cmocka_unit_test(a_loss_gives_its_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
