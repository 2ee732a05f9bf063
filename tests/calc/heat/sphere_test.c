#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/sphere.h"

static struct sphere sphere;

static void the_series_begins_at_one(void **state)
{
    (void)state;
    assert_ok(sphere_make(5, &sphere));
    assert_near(sphere_theta(&sphere, SPHERE_CENTRE, 0), 1, 0);
    assert_near(sphere_theta(&sphere, SPHERE_CENTRE, 1e-5), 1, 1e-9);
    assert_near(sphere_theta(&sphere, SPHERE_HALF, 1e-4), 1, 1e-9);
    /* Computed here: early, the mean lacks 3 Bi Fo less than 1. */
    assert_true(fabs(sphere_theta(&sphere, SPHERE_MEAN, 1e-5) - (1 - 15e-5)) < 3e-6);
}

/* The eigenfunctions expand 1: at every place the weights sum to it. */
static void the_eigenvalues_are_roots_in_their_order(void **state)
{
    (void)state;
    static const double biots[] = {1e-3, 0.1, 1, 1.5, 30, 1e5};
    for (size_t b = 0; b < sizeof biots / sizeof biots[0]; b++) {
        assert_ok(sphere_make(biots[b], &sphere));
        for (int i = 0; i < SPHERE_MODES; i++) {
            double z = sphere.zeta[i];
            assert_true(z > i * M_PI && z < (i + 1) * M_PI);
            assert_true(fabs((1 - biots[b]) * sin(z) - z * cos(z)) <
                        1e-10 * (biots[b] + z) + 1e-12);
        }
    }
}

static void a_small_biot_is_lumped(void **state)
{
    (void)state;
    assert_ok(sphere_make(1e-4, &sphere));
    assert_near(sphere_fourier(&sphere, 0.5), log(2) / 3e-4, 1e-3);
    assert_near(sphere_theta(&sphere, SPHERE_MEAN, 1000), exp(-0.3), 1e-4);
}

static void times_and_shares_go_back_and_forth(void **state)
{
    (void)state;
    assert_ok(sphere_make(INFINITY, &sphere));
    for (double theta = 0.999; theta > 1e-6; theta *= 0.6) {
        double fourier = sphere_fourier(&sphere, theta);
        assert_near(sphere_theta(&sphere, SPHERE_CENTRE, fourier), theta, 1e-9);
    }
}

static void a_history_agrees_with_the_series_and_with_itself(void **state)
{
    (void)state;
    const int64_t time_ms[] = {0, 7000, 20000};
    const double temp_c[] = {85, 85, 85};
    struct heat_log bath = {.points = 3, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct sphere_body body = {.radius_m = 0.002, .diffusivity_m2_s = 1e-7, .start_c = 25};
    struct sphere_moment m[3], other[2];
    assert_ok(sphere_make(7, &sphere));
    assert_ok(sphere_history(&sphere, &body, &bath, 80, 6, m));
    for (int p = 0; p < SPHERE_PLACES; p++) {
        double theta = sphere_theta(&sphere, (enum sphere_place)p, 1e-7 * 20 / 4e-6);
        assert_near(m[2].temp_c[p], 85 - 60 * theta, 1e-9);
    }
    /* A ramp cut at a point on its line is the same ramp. */
    const double ramp_c[] = {30, 51, 90};
    const int64_t ends_ms[] = {0, 20000};
    const double ends_c[] = {30, 90};
    bath.temp_c = ramp_c;
    struct heat_log ends = {.points = 2, .probes = 1, .time_ms = ends_ms, .temp_c = ends_c};
    assert_ok(sphere_history(&sphere, &body, &bath, 80, 6, m));
    assert_ok(sphere_history(&sphere, &body, &ends, 80, 6, other));
    for (int p = 0; p < SPHERE_PLACES; p++) {
        assert_near(m[2].temp_c[p], other[1].temp_c[p], 1e-8);
        assert_near(m[2].f_s[p], other[1].f_s[p], 1e-4);
    }
}

/* After long, a steadily warming bath runs ahead of the mean by rate R^2 (1/15 + 1/(3 Bi)) / a. */
static void a_long_ramp_lags_by_a_constant(void **state)
{
    (void)state;
    const int64_t time_ms[] = {0, 1000000};
    const double temp_c[] = {20, 70};
    struct heat_log bath = {.points = 2, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct sphere_body body = {.radius_m = 0.004, .diffusivity_m2_s = 1e-7, .start_c = 20};
    struct sphere_moment m[2];
    double lag_c = 0.05 * 1.6e-5 / 1e-7;
    assert_ok(sphere_make(2, &sphere));
    assert_ok(sphere_history(&sphere, &body, &bath, 60, 6, m));
    assert_near(70 - m[1].temp_c[SPHERE_MEAN], lag_c * (1.0 / 15 + 1.0 / 6), 1e-6);
    assert_near(70 - m[1].temp_c[SPHERE_CENTRE], lag_c * (1.0 / 6 + 1.0 / 6), 1e-4);
}

static void what_is_no_body_is_named(void **state)
{
    (void)state;
    const int64_t time_ms[] = {0, 1000};
    const double temp_c[] = {20, 250};
    struct heat_log bath = {.points = 2, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct sphere_body body = {.radius_m = 0, .diffusivity_m2_s = 1e-7, .start_c = 20};
    struct sphere_moment m[2];
    assert_code(sphere_make(0, &sphere), FIELD_RANGE);
    assert_code(sphere_make((double)NAN, &sphere), NUMBER_BAD);
    assert_ok(sphere_make(2, &sphere));
    assert_code(sphere_history(&sphere, &body, &bath, 60, 6, m), FIELD_RANGE);
    body.radius_m = 0.001;
    body.start_c = (double)NAN;
    assert_code(sphere_history(&sphere, &body, &bath, 60, 6, m), NUMBER_BAD);
    body.start_c = 20;
    assert_code(sphere_history(&sphere, &body, &bath, 60, 0.1, m), CALC_OVERFLOW);
    bath.points = 0;
    assert_ok(sphere_history(&sphere, &body, &bath, 60, 6, m));
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_series_begins_at_one),
        cmocka_unit_test(the_eigenvalues_are_roots_in_their_order),
        cmocka_unit_test(a_small_biot_is_lumped),
        cmocka_unit_test(times_and_shares_go_back_and_forth),
        cmocka_unit_test(a_history_agrees_with_the_series_and_with_itself),
        cmocka_unit_test(a_long_ramp_lags_by_a_constant),
        cmocka_unit_test(what_is_no_body_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
