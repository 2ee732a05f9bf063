#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "base/random.h"
#include "calc/heat/lethality_bound.h"

enum { POINTS = 12 };

static const struct lethality_settings settings = {
    .reference_c = 70,
    .z_c = 7,
    .limit_c = 62,
    .has_tested_max = true,
    .tested_max_c = 80,
    .gap_max_ms = 60000,
    .window = LETHALITY_WINDOW_COME_UP_HOLD,
};

/* Whatever z lies in the interval, F is not less than the bound. */
static void no_z_of_the_interval_gives_less(void **state)
{
    (void)state;
    struct random random;
    random_seed(&random, 7);
    for (int n = 0; n < 20; n++) {
        int64_t time_ms[POINTS];
        double temp_c[POINTS];
        for (int i = 0; i < POINTS; i++) {
            time_ms[i] = i * 10000;
            temp_c[i] = 60 + 20 * random_unit(&random);
        }
        struct heat_log log = {.points = POINTS, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
        struct lethality_doubt doubt = {.z_low_c = 5, .z_high_c = 30, .d_high_s = 4};
        struct lethality_bound bound;
        assert_ok(lethality_bound(&log, &settings, &doubt, &bound));
        assert_near(bound.reduction_low, bound.f_low_s / 4, 1e-15);
        for (double z_c = 5; z_c <= 30; z_c += 0.25) {
            struct lethality_settings at = settings;
            struct lethality_report r;
            at.z_c = z_c;
            at.d_s = 4;
            assert_ok(lethality(&log, &at, &r));
            assert_true(bound.f_low_s <= r.f_conservative_s * (1 + 1e-9));
        }
    }
}

static void without_doubt_it_is_the_conservative_number(void **state)
{
    (void)state;
    const int64_t time_ms[] = {0, 10000};
    const double temp_c[] = {72, 72};
    struct heat_log log = {.points = 2, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct lethality_doubt doubt = {.z_low_c = 7, .z_high_c = 7, .d_high_s = 2};
    struct lethality_bound r;
    assert_ok(lethality_bound(&log, &settings, &doubt, &r));
    assert_near(r.f_low_s, 10 * pow(10, 2.0 / 7), 1e-12);
    assert_near(r.f_low_s, r.f_given_s, 1e-12);
    assert_near(r.noise_share, 1, 0);
}

static void doubt_that_means_nothing_is_named(void **state)
{
    (void)state;
    struct heat_log log = {.points = 0, .probes = 1};
    static const struct {
        struct lethality_doubt doubt;
        const char *field;
    } cases[] = {
        {{.z_low_c = 8, .z_high_c = 7, .d_high_s = 1}, "z_low_c"},
        {{.z_low_c = 0, .z_high_c = 7, .d_high_s = 1}, "z_low_c"},
        {{.z_low_c = 5, .z_high_c = 6, .d_high_s = 1}, "z_c"},
        {{.z_low_c = 5, .z_high_c = 8, .d_high_s = 0}, "d_high_s"},
        {{.z_low_c = 5, .z_high_c = 8, .d_high_s = 1, .noise_c = 21}, "noise_c"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct lethality_bound r;
        struct result got = lethality_bound(&log, &settings, &cases[i].doubt, &r);
        assert_code(got, FIELD_RANGE);
        assert_string_equal(got.field, cases[i].field);
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_z_of_the_interval_gives_less),
        cmocka_unit_test(without_doubt_it_is_the_conservative_number),
        cmocka_unit_test(doubt_that_means_nothing_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
