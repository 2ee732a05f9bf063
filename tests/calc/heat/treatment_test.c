#include "../../support.h"

#include "../near.h"
#include "base/random.h"
#include "calc/heat/treatment.h"

static const int64_t times_ms[] = {0, 10000, 20000, 30000, 40000, 50000, 60000};
static const int32_t temps_mc[] = {40000, 62000, 70000, 72000, 72000, 71000, 45000};

static const struct treatment_constants juice = {.reference_mc = 71100,
                                                 .z_mc = 5300,
                                                 .d_ms = 600,
                                                 .limit_mc = 71100,
                                                 .has_tested_max = true,
                                                 .tested_max_mc = 71100,
                                                 .window = LETHALITY_WINDOW_HOLD};

static struct heat_log_mc juice_log(void)
{
    return (struct heat_log_mc){.points = 7, .probes = 1, .time_ms = times_ms, .temp_mc = temps_mc};
}

/* Computed here: the juice log credits 31.304371 s at or above 71.1 C. */
static void whole_numbers_come_out_rounded_down(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct heat_log_mc log = juice_log();
    struct treatment_lethality r;
    assert_ok(treatment_lethality(&a, &log, &juice, &r));
    assert_int_equal(r.f_best_ms, 31304);
    assert_int_equal(r.f_conservative_ms, 31304);
    assert_int_equal(r.reduction_conservative_milli, 52173);
    assert_string_equal(r.shown, "> 12");
    assert_int_equal(r.gap_max_ms, 20000);
    assert_int_equal(r.gap_longest_ms, 10000);
    assert_int_equal(r.share_come_up_ppm + r.share_hold_ppm + r.share_cooling_ppm, 1000000);
    assert_int_equal(r.step_max_milli_z, 4906); /* 26/5.3 = 4.9057, rounded up */
    assert_int_equal(r.flags, LETHALITY_COARSE);
    log.uncertainty_mc[0] = 300;
    assert_ok(treatment_lethality(&a, &log, &juice, &r));
    assert_int_equal(r.f_best_ms, 31304);
    assert_int_equal(r.f_conservative_ms, 23259);
    arena_release(&a);
}

static void it_is_the_same_as_with_decimals(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct heat_log_mc log = juice_log();
    struct heat_log decimals = heat_log_from_mc(&a, &log);
    struct lethality_settings set = {.reference_c = 71.1,
                                     .z_c = 5.3,
                                     .d_s = 0.6,
                                     .limit_c = 71.1,
                                     .has_tested_max = true,
                                     .tested_max_c = 71.1,
                                     .gap_max_ms = 20000,
                                     .window = LETHALITY_WINDOW_HOLD};
    struct lethality_report wanted;
    struct treatment_lethality r;
    assert_ok(lethality(&decimals, &set, &wanted));
    assert_ok(treatment_lethality(&a, &log, &juice, &r));
    assert_int_equal(r.f_best_ms, (int64_t)floor(wanted.f_best_s * 1000));
    assert_int_equal(r.reduction_best_milli, (int64_t)floor(wanted.reduction_best * 1000));
    /* A cap within the readings: both scale it alike. */
    struct treatment_constants capped = juice;
    capped.tested_max_mc = 66000;
    set.tested_max_c = 66;
    assert_ok(lethality(&decimals, &set, &wanted));
    assert_ok(treatment_lethality(&a, &log, &capped, &r));
    assert_int_equal(r.f_best_ms, (int64_t)floor(wanted.f_best_s * 1000));
    assert_true((r.flags & LETHALITY_CAPPED) != 0);
    arena_release(&a);
}

static void faults_pass_through(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct heat_log_mc log = juice_log();
    struct treatment_constants bad = juice;
    struct treatment_lethality r;
    bad.z_mc = 0;
    assert_code(treatment_lethality(&a, &log, &bad, &r), FIELD_RANGE);
    bad = juice;
    bad.d_ms = 0;
    struct result got = treatment_lethality(&a, &log, &bad, &r);
    assert_code(got, FIELD_RANGE);
    assert_string_equal(got.field, "d_s");
    bad = juice;
    bad.gap_max_ms = -1;
    assert_code(treatment_lethality(&a, &log, &bad, &r), FIELD_RANGE);
    const int64_t back_ms[] = {0, 10000, 20000, 30000, 40000, 50000, 49999};
    log.time_ms = back_ms;
    assert_code(treatment_lethality(&a, &log, &juice, &r), LOG_BACKWARDS);
    /* More than the record can carry, though still a number. */
    log = juice_log();
    bad = juice;
    bad.has_tested_max = false;
    bad.z_mc = 40;
    got = treatment_lethality(&a, &log, &bad, &r);
    assert_code(got, CALC_OVERFLOW);
    arena_release(&a);
}

static void an_empty_log_is_no_data(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct heat_log_mc log = juice_log();
    log.points = 0;
    struct treatment_lethality r;
    assert_ok(treatment_lethality(&a, &log, &juice, &r));
    assert_int_equal(r.f_conservative_ms, 0);
    assert_int_equal(r.flags, LETHALITY_NO_DATA);
    assert_string_equal(r.shown, "0.0");
    arena_release(&a);
}

/* A published set comes over to the thousandth: what 1000 times a decimal leaves below a whole
 * number is not cut off. */
static void a_set_comes_over_whole(void **state)
{
    (void)state;
    for (size_t i = 0; i < lethal_set_count(); i++) {
        const struct lethal_set *set = lethal_set_at(i);
        struct treatment_constants c = treatment_of_set(set);
        /* half a unit of the last digit kept */
        assert_near(c.reference_mc / 1000.0, set->reference_c, 5e-4 / set->reference_c);
        assert_near(c.z_mc / 1000.0, set->z_c, 5e-4 / set->z_c);
        assert_near((double)c.d_ms / 1000, set->d_s, 5e-4 / set->d_s);
        assert_true(c.has_tested_max == set->has_tested_max);
        assert_int_equal(c.limit_mc, 0);
    }
    struct lethal_set set = {.reference_c = 9.2, .z_c = 4.35, .d_s = 1.005, .tested_max_c = 8.2};
    struct treatment_constants c = treatment_of_set(&set);
    assert_int_equal(c.reference_mc, 9200);
    assert_int_equal(c.z_mc, 4350);
    assert_int_equal(c.d_ms, 1005);
    assert_int_equal(c.tested_max_mc, 8200);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(whole_numbers_come_out_rounded_down),
        cmocka_unit_test(it_is_the_same_as_with_decimals),
        cmocka_unit_test(faults_pass_through),
        cmocka_unit_test(an_empty_log_is_no_data),
        cmocka_unit_test(a_set_comes_over_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
