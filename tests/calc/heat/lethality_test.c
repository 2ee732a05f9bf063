#include "../../support.h"

#include <time.h>

#include "../near.h"
#include "base/random.h"
#include "calc/heat/lethal_rate.h"
#include "calc/heat/lethality.h"

enum { POINTS = 40, PROBES = 3 };

struct sample_log {
    int64_t time_ms[POINTS * 2];
    double temp_c[POINTS * 2 * PROBES];
    struct heat_log log;
};

static const struct lethality_settings plain = {
    .reference_c = 70,
    .z_c = 7.5,
    .d_s = 20,
    .limit_c = 70,
    .has_tested_max = true,
    .tested_max_c = 300, /* no cap unless a test asks for one */
    .gap_max_ms = 100000000,
    .window = LETHALITY_WINDOW_ALL,
};

static struct lethality_report judged(const struct heat_log *log,
                                      const struct lethality_settings *set)
{
    struct lethality_report out;
    assert_ok(lethality(log, set, &out));
    return out;
}

/* A random walk of a few degrees a step between 30 and 95 C. */
static void log_make(struct sample_log *s, struct random *random)
{
    double middle_c = 40 + 40 * random_unit(random);
    int64_t now_ms = (int64_t)random_below(random, 1000000);
    for (size_t i = 0; i < POINTS; i++) {
        now_ms += 1 + (int64_t)random_below(random, 20000);
        middle_c += 6 * random_normal(random);
        middle_c = fmin(fmax(middle_c, 30), 90);
        s->time_ms[i] = now_ms;
        for (size_t k = 0; k < PROBES; k++) {
            s->temp_c[i * PROBES + k] = middle_c + 2 * random_normal(random);
        }
    }
    s->log = (struct heat_log){
        .points = POINTS, .probes = PROBES, .time_ms = s->time_ms, .temp_c = s->temp_c};
}

static void a_log_run_backwards_is_worth_the_same(void **state)
{
    (void)state;
    struct random random;
    random_seed(&random, 1);
    for (int round = 0; round < 50; round++) {
        struct sample_log forward, backward;
        log_make(&forward, &random);
        backward = forward;
        for (size_t i = 0; i < POINTS; i++) {
            size_t j = POINTS - 1 - i;
            backward.time_ms[i] = -forward.time_ms[j];
            memcpy(&backward.temp_c[i * PROBES], &forward.temp_c[j * PROBES],
                   PROBES * sizeof(double));
        }
        backward.log.time_ms = backward.time_ms;
        backward.log.temp_c = backward.temp_c;
        struct lethality_report a = judged(&forward.log, &plain);
        struct lethality_report b = judged(&backward.log, &plain);
        assert_near(b.f_best_s, a.f_best_s, 1e-12);
        assert_near(b.f_envelope_s, a.f_envelope_s, 1e-12);
        assert_near(b.share_hold, a.share_hold, 1e-11);
    }
}

/* A point put on the straight line between two others changes nothing. */
static void splitting_an_interval_changes_nothing(void **state)
{
    (void)state;
    struct random random;
    random_seed(&random, 2);
    for (int round = 0; round < 50; round++) {
        int64_t time_ms[2] = {0, 2 * (1 + (int64_t)random_below(&random, 100000))};
        double temp_c[2] = {40 + 50 * random_unit(&random), 40 + 50 * random_unit(&random)};
        int64_t split_ms[3] = {0, time_ms[1] / 2, time_ms[1]};
        double split_c[3] = {temp_c[0], (temp_c[0] + temp_c[1]) / 2, temp_c[1]};
        struct heat_log whole = {.points = 2, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
        struct heat_log split = {.points = 3, .probes = 1, .time_ms = split_ms, .temp_c = split_c};
        for (enum lethality_window w = LETHALITY_WINDOW_HOLD; w <= LETHALITY_WINDOW_ALL; w++) {
            struct lethality_settings set = plain;
            set.window = w;
            set.cut_low = true;
            set.tested_max_c = 72;
            struct lethality_report a = judged(&whole, &set);
            struct lethality_report b = judged(&split, &set);
            assert_near(b.f_best_s, a.f_best_s, 1e-12);
            assert_near(b.f_conservative_s, a.f_conservative_s, 1e-12);
        }
    }
}

static void fahrenheit_with_its_own_z_is_worth_the_same(void **state)
{
    (void)state;
    /* Readings stay inside the range of a thermometer in either unit. */
    int64_t time_ms[] = {0, 60000, 120000, 180000};
    double temp_c[] = {60, 72, 71, 50};
    double temp_f[4];
    for (size_t i = 0; i < 4; i++) {
        temp_f[i] = temp_c[i] * 1.8 + 32;
    }
    struct lethality_settings set_f = plain;
    set_f.reference_c = plain.reference_c * 1.8 + 32;
    set_f.limit_c = set_f.reference_c;
    set_f.z_c = plain.z_c * 1.8;
    struct heat_log log_c = {.points = 4, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct heat_log log_f = {.points = 4, .probes = 1, .time_ms = time_ms, .temp_c = temp_f};
    assert_near(judged(&log_f, &set_f).f_best_s, judged(&log_c, &plain).f_best_s, 1e-12);
}

static struct lethality_settings random_settings(struct random *random)
{
    return (struct lethality_settings){
        .reference_c = 60 + 20 * random_unit(random),
        .z_c = 3 + 12 * random_unit(random),
        .d_s = 1 + 100 * random_unit(random),
        .limit_c = 50 + 40 * random_unit(random),
        .has_tested_max = random_below(random, 2) == 0,
        .tested_max_c = 55 + 30 * random_unit(random),
        .cut_low = random_below(random, 2) == 0,
        .gap_max_ms = 1 + (int64_t)random_below(random, 25000),
        .gap = (enum lethality_gap)random_below(random, 3),
        .heat_on_record = random_below(random, 2) == 0,
        .window = (enum lethality_window)random_below(random, 3),
    };
}

static void the_safe_number_never_exceeds_the_best(void **state)
{
    (void)state;
    struct random random;
    random_seed(&random, 3);
    size_t strictly = 0;
    for (int round = 0; round < 4000; round++) {
        struct sample_log s;
        log_make(&s, &random);
        for (size_t k = 0; k < PROBES; k++) {
            s.log.uncertainty_c[k] = random_below(&random, 3) == 0 ? 0 : random_unit(&random);
        }
        struct lethality_settings set = random_settings(&random);
        struct lethality_report r = judged(&s.log, &set);
        assert_true(r.f_conservative_s <= r.f_best_s);
        assert_true(r.f_conservative_s >= 0);
        assert_true(r.f_envelope_s <= r.f_best_s * (1 + 1e-12));
        strictly += r.f_conservative_s < r.f_best_s;
        for (size_t k = 0; k < PROBES; k++) {
            assert_true(r.f_best_s <= r.f_probe_s[k]);
        }
        assert_near(r.reduction_best, r.f_best_s / set.d_s, 1e-15);
        double shares = r.share_come_up + r.share_hold + r.share_cooling;
        assert_true(shares == 0 || fabs(shares - 1) < 1e-12);
        assert_true(r.trapezoid_over_exact >= 1 - 1e-12 || r.trapezoid_over_exact == 0);
    }
    assert_true(strictly > 1000);
}

/* Not by clipping: the safe sum itself stays below, with room, wherever something is taken off. */
static void more_doubt_gives_less(void **state)
{
    (void)state;
    struct random random;
    random_seed(&random, 4);
    for (int round = 0; round < 500; round++) {
        struct sample_log s;
        log_make(&s, &random);
        struct lethality_settings set = random_settings(&random);
        double before_s = judged(&s.log, &set).f_conservative_s;
        for (size_t k = 0; k < PROBES; k++) {
            s.log.uncertainty_c[k] += 0.5;
        }
        double after_s = judged(&s.log, &set).f_conservative_s;
        assert_true(after_s <= before_s * (1 + 1e-12));
        set.gap_max_ms = set.gap_max_ms > 1 ? set.gap_max_ms / 2 : 1;
        assert_true(judged(&s.log, &set).f_conservative_s <= after_s * (1 + 1e-12));
    }
}

static void a_constant_uncertainty_is_a_factor(void **state)
{
    (void)state;
    int64_t time_ms[] = {0, 60000};
    double temp_c[] = {75, 75};
    struct heat_log log = {.points = 2, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    log.uncertainty_c[0] = 0.5;
    struct lethality_report r = judged(&log, &plain);
    assert_near(r.f_conservative_s, r.f_best_s * pow(10, -0.5 / 7.5), 1e-14);
}

/* 40 C up to 74, held, and down again; the limit is 70. */
static const int64_t phase_ms[] = {0, 100000, 160000, 260000};
static const double phase_c[] = {40, 74, 74, 40};

static void the_phases_are_told_apart(void **state)
{
    (void)state;
    struct heat_log log = {.points = 4, .probes = 1, .time_ms = phase_ms, .temp_c = phase_c};
    struct lethal_scale s;
    assert_ok(lethal_scale_make(70, 7.5, -INFINITY, INFINITY, &s));
    double slope_s = 100.0 / 34;
    double come_up_s = lethal_piece_s(&s, 30 * slope_s, 40, 70);
    double hold_s = 2 * lethal_piece_s(&s, 4 * slope_s, 70, 74) + lethal_piece_s(&s, 60, 74, 74);
    struct lethality_settings set = plain;
    struct lethality_report r = judged(&log, &set);
    double all_s = 2 * come_up_s + hold_s;
    assert_near(r.f_best_s, all_s, 1e-13);
    assert_near(r.share_come_up, come_up_s / all_s, 1e-12);
    assert_near(r.share_hold, hold_s / all_s, 1e-12);
    assert_near(r.share_cooling, come_up_s / all_s, 1e-12);
    /* Cooling is never in the safe number, not even where all is credited. */
    assert_near(r.f_conservative_s, come_up_s + hold_s, 1e-13);
    set.window = LETHALITY_WINDOW_COME_UP_HOLD;
    r = judged(&log, &set);
    assert_near(r.f_best_s, come_up_s + hold_s, 1e-13);
    assert_near(r.f_conservative_s, come_up_s + hold_s, 1e-13);
    set.window = LETHALITY_WINDOW_HOLD;
    r = judged(&log, &set);
    assert_near(r.f_best_s, hold_s, 1e-13);
    assert_near(r.f_conservative_s, hold_s, 1e-13);
    assert_int_equal(r.flags, LETHALITY_COARSE);
}

static void a_limit_never_reached_ends_come_up_at_the_peak(void **state)
{
    (void)state;
    struct heat_log log = {.points = 4, .probes = 1, .time_ms = phase_ms, .temp_c = phase_c};
    struct lethality_settings set = plain;
    set.limit_c = 74.001;
    struct lethality_report r = judged(&log, &set);
    assert_true((r.flags & LETHALITY_LIMIT_NOT_REACHED) != 0);
    assert_near(r.share_hold, 0, 0);
    struct lethal_scale s;
    assert_ok(lethal_scale_make(70, 7.5, -INFINITY, INFINITY, &s));
    double up_s = lethal_piece_s(&s, 100, 40, 74) + lethal_piece_s(&s, 60, 74, 74);
    assert_near(r.f_conservative_s, up_s, 1e-13);
    set.window = LETHALITY_WINDOW_HOLD;
    assert_near(judged(&log, &set).f_best_s, 0, 0);
}

static void a_dip_below_the_limit_is_not_come_up(void **state)
{
    (void)state;
    int64_t time_ms[] = {0, 10000, 20000, 30000};
    double temp_c[] = {72, 68, 72, 72};
    struct heat_log log = {.points = 4, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct lethality_report r = judged(&log, &plain);
    struct lethal_scale s;
    assert_ok(lethal_scale_make(70, 7.5, 70, INFINITY, &s));
    double hold_s = 2 * lethal_piece_s(&s, 10, 68, 72) + lethal_piece_s(&s, 10, 72, 72);
    assert_near(r.f_conservative_s, hold_s, 1e-13);
    assert_near(r.share_come_up, 0, 0);
    assert_true(r.share_cooling > 0);
}

static void silence_is_worth_what_the_policy_says(void **state)
{
    (void)state;
    int64_t time_ms[] = {0, 10000, 60000, 70000};
    double temp_c[] = {72, 74, 73, 72};
    struct heat_log log = {.points = 4, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct lethality_settings set = plain;
    set.gap_max_ms = 20000;
    struct lethality_report zero = judged(&log, &set);
    assert_int_equal(zero.gaps, 1);
    assert_int_equal(zero.gap_longest_ms, 50000);
    assert_true((zero.flags & LETHALITY_GAP) != 0);
    set.gap = LETHALITY_GAP_LOWER_END;
    assert_near(judged(&log, &set).f_best_s, zero.f_best_s, 0);
    set.heat_on_record = true;
    struct lethal_scale s;
    assert_ok(lethal_scale_make(70, 7.5, -INFINITY, INFINITY, &s));
    struct lethality_report held = judged(&log, &set);
    assert_near(held.f_best_s, zero.f_best_s + 50 * lethal_rate(&s, 73), 1e-13);
    /* The record of heat helps the best estimate only, and only where both ends are hot. */
    assert_near(held.f_conservative_s, zero.f_conservative_s, 0);
    set.limit_c = 73.5;
    struct lethality_settings without = set;
    without.gap = LETHALITY_GAP_ZERO;
    assert_near(judged(&log, &set).f_best_s, judged(&log, &without).f_best_s, 0);
    set.limit_c = 70;
    set.gap = LETHALITY_GAP_BRIDGE;
    struct lethality_report bridged = judged(&log, &set);
    assert_near(bridged.f_best_s, zero.f_best_s + lethal_piece_s(&s, 50, 74, 73), 1e-13);
    assert_near(bridged.f_conservative_s, zero.f_conservative_s, 0);
    /* A gap of exactly the allowed length is none. */
    set.gap_max_ms = 50000;
    assert_int_equal(judged(&log, &set).gaps, 0);
}

static void nothing_is_credited_far_above_the_tested_range(void **state)
{
    (void)state;
    int64_t time_ms[] = {0, 60000};
    double temp_c[] = {90, 90};
    struct heat_log log = {.points = 2, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct lethality_settings set = plain;
    set.tested_max_c = 72;
    struct lethality_report r = judged(&log, &set);
    assert_near(r.f_best_s, 60 * pow(10, 7.56 / 7.5), 1e-13);
    assert_near(r.f_conservative_s, r.f_best_s, 1e-15);
    assert_true((r.flags & LETHALITY_CAPPED) != 0);
    /* Unknown: the safe side takes the reference temperature for it, the best estimate none. */
    set.has_tested_max = false;
    r = judged(&log, &set);
    assert_near(r.f_best_s, 60 * pow(10, 20 / 7.5), 1e-13);
    assert_near(r.f_conservative_s, 60 * pow(10, 5.56 / 7.5), 1e-13);
    assert_true((r.flags & LETHALITY_RANGE_UNKNOWN) != 0);
}

static void the_lower_cut_off_takes_what_lies_three_z_down(void **state)
{
    (void)state;
    int64_t time_ms[] = {0, 60000, 120000};
    double temp_c[] = {47.4, 47.4, 47.4};
    struct heat_log log = {.points = 3, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct lethality_settings set = plain;
    assert_true(judged(&log, &set).f_best_s > 0);
    set.cut_low = true;
    assert_near(judged(&log, &set).f_best_s, 0, 0); /* 70 - 3 * 7.5 = 47.5 */
    temp_c[1] = 47.5;
    assert_true(judged(&log, &set).f_best_s >= 0);
    temp_c[0] = temp_c[2] = 47.5;
    assert_near(judged(&log, &set).f_best_s, 0.12, 1e-9);
}

static void coarse_logging_is_told_where_it_matters(void **state)
{
    (void)state;
    int64_t time_ms[] = {0, 10000, 20000, 80000};
    double fine_c[] = {72, 73.8, 72, 72};   /* 0.24 z */
    double coarse_c[] = {72, 73.9, 72, 72}; /* 0.253 z */
    double cold_c[] = {25, 60, 71.5, 72};   /* steep where little happens and where much does */
    double early_c[] = {5, 30, 31, 31.5};   /* steep, but almost nothing of the whole */
    struct heat_log log = {.points = 4, .probes = 1, .time_ms = time_ms, .temp_c = fine_c};
    assert_true((judged(&log, &plain).flags & LETHALITY_COARSE) == 0);
    assert_near(judged(&log, &plain).step_max_z, 0.24, 1e-12);
    log.temp_c = coarse_c;
    assert_true((judged(&log, &plain).flags & LETHALITY_COARSE) != 0);
    log.temp_c = cold_c;
    assert_true((judged(&log, &plain).flags & LETHALITY_COARSE) != 0);
    /* The same step next to a long hold: 23 s of 3700 s are under a hundredth, of 1100 s above. */
    log.temp_c = coarse_c;
    time_ms[3] = 2020000;
    assert_true((judged(&log, &plain).flags & LETHALITY_COARSE) == 0);
    time_ms[3] = 620000;
    assert_true((judged(&log, &plain).flags & LETHALITY_COARSE) != 0);
    time_ms[3] = 100000000;
    log.temp_c = early_c;
    assert_true((judged(&log, &plain).flags & LETHALITY_COARSE) == 0);
}

static void a_limit_seen_between_two_gaps_was_reached(void **state)
{
    (void)state;
    int64_t time_ms[] = {0, 10000, 60000, 110000, 120000};
    double temp_c[] = {60, 65, 75, 69, 69};
    struct heat_log log = {.points = 5, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct lethality_settings set = plain;
    set.gap_max_ms = 20000;
    struct lethal_scale s;
    assert_ok(lethal_scale_make(70, 7.5, -INFINITY, INFINITY, &s));
    struct lethality_report r = judged(&log, &set);
    assert_near(r.f_conservative_s, lethal_piece_s(&s, 10, 60, 65), 1e-13);
    assert_near(r.f_best_s, r.f_conservative_s + lethal_piece_s(&s, 10, 69, 69), 1e-13);
}

static void the_first_of_equal_probes_is_the_coldest(void **state)
{
    (void)state;
    int64_t time_ms[] = {0, 10000};
    double temp_c[] = {73, 72, 72, 73, 72, 72};
    struct heat_log log = {.points = 2, .probes = 3, .time_ms = time_ms, .temp_c = temp_c};
    assert_int_equal(judged(&log, &plain).coldest_probe, 1);
}

static void no_data_is_zero_and_says_so(void **state)
{
    (void)state;
    int64_t time_ms[] = {5, 5};
    double temp_c[] = {80, 80};
    struct heat_log log = {.probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    for (size_t points = 0; points <= 2; points++) {
        log.points = points;
        struct lethality_report r = judged(&log, &plain);
        assert_near(r.f_best_s, 0, 0);
        assert_near(r.f_conservative_s, 0, 0);
        assert_int_equal(r.flags, LETHALITY_NO_DATA);
    }
    temp_c[1] = 81;
    struct lethality_report r;
    assert_code(lethality(&log, &plain, &r), LOG_TWICE);
}

static void settings_out_of_range_are_named(void **state)
{
    (void)state;
    int64_t time_ms[] = {0, 1000};
    double temp_c[] = {70, 71};
    struct heat_log log = {.points = 2, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct lethality_settings bad[12];
    static const char *const field[12] = {
        "z_c",     "z_c",         "z_c",         "d_s",          "d_s",        "d_s",
        "limit_c", "reference_c", "reference_c", "tested_max_c", "gap_max_ms", "gap_max_ms"};
    static const enum code code[12] = {CODE_FIELD_RANGE, CODE_FIELD_RANGE, CODE_NUMBER_BAD,
                                       CODE_FIELD_RANGE, CODE_FIELD_RANGE, CODE_NUMBER_BAD,
                                       CODE_NUMBER_BAD,  CODE_FIELD_RANGE, CODE_NUMBER_BAD,
                                       CODE_NUMBER_BAD,  CODE_FIELD_RANGE, CODE_FIELD_RANGE};
    for (size_t i = 0; i < 12; i++) {
        bad[i] = plain;
    }
    bad[0].z_c = 0;
    bad[1].z_c = -7;
    bad[2].z_c = (double)NAN;
    bad[3].d_s = 0;
    bad[4].d_s = -1;
    bad[5].d_s = (double)INFINITY;
    bad[6].limit_c = (double)NAN;
    bad[7].reference_c = 400;
    bad[8].reference_c = (double)NAN;
    bad[9].tested_max_c = (double)NAN;
    bad[10].gap_max_ms = 0;
    bad[11].gap_max_ms = INT64_MAX;
    for (size_t i = 0; i < 12; i++) {
        struct lethality_report r;
        struct result got = lethality(&log, &bad[i], &r);
        assert_code_at(got, code[i], __FILE__, __LINE__);
        assert_string_equal(got.field, field[i]);
        assert_near(r.f_best_s, 0, 0);
    }
}

static void a_result_beyond_numbers_is_refused(void **state)
{
    (void)state;
    int64_t time_ms[] = {0, 1000, 2000};
    double temp_c[] = {70, 90, 71};
    struct heat_log log = {.points = 3, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct lethality_report r;
    const double z_c[] = {1e-300, 1e-9, 0.06};
    for (size_t i = 0; i < 3; i++) {
        struct lethality_settings set = plain;
        set.z_c = z_c[i];
        struct result got = lethality(&log, &set, &r);
        assert_code(got, CALC_OVERFLOW);
        assert_string_equal(got.field, "z_c");
        assert_near(r.f_best_s, 0, 0);
    }
    struct lethality_settings set = plain;
    set.d_s = 1e-307;
    assert_code(lethality(&log, &set, &r), CALC_OVERFLOW);
}

static void a_very_large_z_counts_plain_time(void **state)
{
    (void)state;
    struct heat_log log = {.points = 4, .probes = 1, .time_ms = phase_ms, .temp_c = phase_c};
    struct lethality_settings set = plain;
    set.z_c = 1e12;
    assert_near(judged(&log, &set).f_best_s, 260, 1e-9);
}

static void a_million_points_are_quick(void **state)
{
    (void)state;
    enum { MANY = 1000000 };
    int64_t *time_ms = malloc(MANY * sizeof *time_ms);
    double *temp_c = malloc(MANY * sizeof *temp_c);
    assert_true(time_ms != NULL && temp_c != NULL);
    for (size_t i = 0; i < MANY; i++) {
        time_ms[i] = (int64_t)i * 1000;
        temp_c[i] = 70 + 5 * sin((double)i / 5000);
    }
    struct heat_log log = {.points = MANY, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    log.uncertainty_c[0] = 0.25;
    struct timespec begin, end;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &begin);
    struct lethality_report r = judged(&log, &plain);
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &end);
    double took_s =
        (double)(end.tv_sec - begin.tv_sec) + (double)(end.tv_nsec - begin.tv_nsec) / 1e9;
    /* Mean of 10^(a sin) over whole turns is the Bessel function I0(a ln 10), a = 5/7.5: computed
     * here, 1.6801. Only roughly, since the log ends inside a turn. */
    assert_near(r.f_best_s, 999999 * 1.6801, 0.02);
    assert_true(r.f_conservative_s > 0 && r.f_conservative_s < r.f_best_s);
    print_message("# a million points took %.0f ms of the processor\n", took_s * 1000);
    /* Ten times what it needs with optimisation, room for the sanitizers. */
    assert_true(took_s < 2);
    free(time_ms);
    free(temp_c);
}

static void reductions_are_shown_on_the_safe_side(void **state)
{
    (void)state;
    static const struct {
        double reduction, seen;
        const char *shown;
    } cases[] = {
        {0, 0, "0.0"},      {4.99, 0, "4.9"},          {5, 0, "5.0"},
        {0.0999, 0, "0.0"}, {12, 0, "12.0"},           {12.0001, 0, "> 12"},
        {300, 0, "> 12"},   {6, 5.29, "at least 5.2"}, {5.29, 5.29, "5.2"},
        {4, 5, "4.0"},      {40, 30, "at least 12.0"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char shown[LETHALITY_SHOWN_SIZE];
        lethality_show(cases[i].reduction, cases[i].seen, shown);
        assert_string_equal(shown, cases[i].shown);
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_log_run_backwards_is_worth_the_same),
        cmocka_unit_test(splitting_an_interval_changes_nothing),
        cmocka_unit_test(fahrenheit_with_its_own_z_is_worth_the_same),
        cmocka_unit_test(the_safe_number_never_exceeds_the_best),
        cmocka_unit_test(more_doubt_gives_less),
        cmocka_unit_test(a_constant_uncertainty_is_a_factor),
        cmocka_unit_test(the_phases_are_told_apart),
        cmocka_unit_test(a_limit_never_reached_ends_come_up_at_the_peak),
        cmocka_unit_test(a_dip_below_the_limit_is_not_come_up),
        cmocka_unit_test(silence_is_worth_what_the_policy_says),
        cmocka_unit_test(nothing_is_credited_far_above_the_tested_range),
        cmocka_unit_test(the_lower_cut_off_takes_what_lies_three_z_down),
        cmocka_unit_test(coarse_logging_is_told_where_it_matters),
        cmocka_unit_test(a_limit_seen_between_two_gaps_was_reached),
        cmocka_unit_test(the_first_of_equal_probes_is_the_coldest),
        cmocka_unit_test(no_data_is_zero_and_says_so),
        cmocka_unit_test(settings_out_of_range_are_named),
        cmocka_unit_test(a_result_beyond_numbers_is_refused),
        cmocka_unit_test(a_very_large_z_counts_plain_time),
        cmocka_unit_test(a_million_points_are_quick),
        cmocka_unit_test(reductions_are_shown_on_the_safe_side),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
