#include "../../support.h"

#include "../near.h"
#include "base/random.h"
#include "calc/heat/hold_check.h"

static const int64_t ramp_ms[] = {0, 10000, 50000, 60000};
static const int32_t ramp_mc[] = {80000, 90000, 90000, 80000};

static const struct hold_recipe recipe_85 = {
    .temp_mc = 85000, .hold_ms = 40000, .cool_within_ms = HOLD_COOL_ANY, .gap_max_ms = 60000};

static struct heat_log_mc ramp(void)
{
    return (struct heat_log_mc){.points = 4, .probes = 1, .time_ms = ramp_ms, .temp_mc = ramp_mc};
}

static struct hold_report judged(const struct heat_log_mc *log, const struct hold_recipe *recipe)
{
    struct hold_report out;
    assert_ok(hold_check(log, recipe, &out));
    assert_true(out.met == (out.state == HOLD_MET));
    return out;
}

static void crossings_are_exact(void **state)
{
    (void)state;
    struct heat_log_mc log = ramp();
    struct hold_report r = judged(&log, &recipe_85);
    assert_true(r.met);
    assert_int_equal(r.hold_s, 50);
    assert_int_equal(r.hold_start_ms, 5000);
    assert_int_equal(r.hold_end_ms, 55000);
    assert_int_equal(r.coldest_peak_mc, 90000);
    assert_int_equal(r.gap_longest_ms, 40000);
    assert_int_equal(r.gaps, 0);
    /* Just one thousandth of a degree more doubt, and the whole second is gone. */
    log.uncertainty_mc[0] = 1;
    assert_int_equal(judged(&log, &recipe_85).hold_s, 49);
}

static void crossings_are_rounded_inward(void **state)
{
    (void)state;
    /* In after a third of a second, out a third before the last: 85 C at 333.3 and 2666.7 ms. */
    static const int64_t time_ms[] = {0, 1000, 2000, 3000};
    static const int32_t temp_mc[] = {84000, 87000, 87000, 84000};
    struct heat_log_mc log = {.points = 4, .probes = 1, .time_ms = time_ms, .temp_mc = temp_mc};
    struct hold_report r = judged(&log, &recipe_85);
    assert_int_equal(r.hold_start_ms, 334);
    assert_int_equal(r.hold_end_ms, 2666);
    assert_int_equal(r.hold_s, 2);
}

static void where_it_stands_on_the_calendar_does_not_matter(void **state)
{
    (void)state;
    static const int64_t shifts_ms[] = {-HEAT_TIME_MAX_MS, -1, 1790000000123,
                                        HEAT_TIME_MAX_MS - 70000};
    struct hold_recipe recipe = recipe_85;
    recipe.has_cool_start = true;
    recipe.cool_start_ms = 45500;
    recipe.cool_within_ms = 0;
    struct heat_log_mc log = ramp();
    struct hold_report here = judged(&log, &recipe);
    assert_int_equal(here.hold_end_ms, 45500);
    for (size_t i = 0; i < sizeof shifts_ms / sizeof shifts_ms[0]; i++) {
        int64_t time_ms[4];
        for (size_t k = 0; k < 4; k++) {
            time_ms[k] = ramp_ms[k] + shifts_ms[i];
        }
        log.time_ms = time_ms;
        recipe.cool_start_ms = 45500 + shifts_ms[i];
        struct hold_report there = judged(&log, &recipe);
        assert_true(there.met);
        assert_int_equal(there.hold_s, here.hold_s);
        assert_true(there.hold_start_ms - shifts_ms[i] == here.hold_start_ms);
        assert_true(there.hold_end_ms - shifts_ms[i] == here.hold_end_ms);
        assert_int_equal(there.cool_delay_ms, here.cool_delay_ms);
    }
}

static void the_hold_asked_for_is_met_exactly_or_not(void **state)
{
    (void)state;
    struct heat_log_mc log = ramp();
    struct hold_recipe recipe = recipe_85;
    recipe.hold_ms = 50000;
    assert_true(judged(&log, &recipe).met);
    recipe.hold_ms = 50001; /* the log shows 50 whole seconds, no more */
    assert_int_equal(judged(&log, &recipe).state, HOLD_TOO_SHORT);
    recipe.temp_mc = 90000; /* equal is at or above */
    recipe.hold_ms = 40000;
    assert_true(judged(&log, &recipe).met);
    recipe.temp_mc = 90001;
    assert_int_equal(judged(&log, &recipe).state, HOLD_NEVER_REACHED);
}

static void every_probe_must_be_hot_at_once(void **state)
{
    (void)state;
    /* One probe is hot in the first half, the other in the second; together never but at 30 s. */
    static const int64_t time_ms[] = {0, 30000, 60000};
    static const int32_t apart_mc[] = {90000, 80000, 85000, 85000, 80000, 90000};
    struct heat_log_mc log = {.points = 3, .probes = 2, .time_ms = time_ms, .temp_mc = apart_mc};
    struct hold_report r = judged(&log, &recipe_85);
    assert_int_equal(r.state, HOLD_TOO_SHORT);
    assert_int_equal(r.hold_s, 0);
    assert_int_equal(r.hold_start_ms, 30000);
    /* They pass each other below the temperature: never, though each has its hot time. */
    static const int32_t never_mc[] = {90000, 70000, 84000, 84000, 70000, 90000};
    log.temp_mc = never_mc;
    assert_int_equal(judged(&log, &recipe_85).state, HOLD_NEVER_REACHED);
    /* Both cross within one interval: from 6 s, when the second comes in, to 24 s. */
    static const int32_t cross_mc[] = {86000, 84000, 84750, 89000, 20000, 20000};
    log.temp_mc = cross_mc;
    r = judged(&log, &recipe_85);
    assert_int_equal(r.hold_start_ms, 6000);
    assert_int_equal(r.hold_end_ms, 24000);
    assert_int_equal(r.hold_s, 18);
    assert_int_equal(r.coldest_probe, 0);
    assert_int_equal(r.coldest_peak_mc, 86000);
}

static void each_probe_has_its_own_uncertainty(void **state)
{
    (void)state;
    static const int32_t temp_mc[] = {85000, 85400, 85000, 85400, 85000, 85400, 85000, 85400};
    struct heat_log_mc log = {.points = 4, .probes = 2, .time_ms = ramp_ms, .temp_mc = temp_mc};
    log.uncertainty_mc[1] = 400;
    struct hold_report r = judged(&log, &recipe_85);
    assert_true(r.met);
    assert_int_equal(r.hold_s, 60);
    log.uncertainty_mc[1] = 401;
    r = judged(&log, &recipe_85);
    assert_int_equal(r.state, HOLD_NEVER_REACHED);
    assert_int_equal(r.coldest_probe, 1);
    assert_int_equal(r.coldest_peak_mc, 84999);
    static const int32_t rising_mc[] = {20000, 21000, 60000, 50000, 91000, 88000, 30000, 70000};
    log.temp_mc = rising_mc;
    log.uncertainty_mc[1] = 400;
    r = judged(&log, &recipe_85);
    assert_int_equal(r.coldest_probe, 1);
    assert_int_equal(r.coldest_peak_mc, 87600);
}

static void a_silence_breaks_the_hold(void **state)
{
    (void)state;
    struct heat_log_mc log = ramp();
    struct hold_recipe recipe = recipe_85;
    recipe.gap_max_ms = 40000;
    assert_true(judged(&log, &recipe).met);
    recipe.gap_max_ms = 39999;
    struct hold_report r = judged(&log, &recipe);
    assert_int_equal(r.state, HOLD_TOO_SHORT);
    assert_int_equal(r.hold_s, 5);
    assert_int_equal(r.gaps, 1);
    assert_int_equal(r.gap_longest_ms, 40000);
}

static void points_that_repeat_do_no_harm(void **state)
{
    (void)state;
    static const int64_t time_ms[] = {0, 0, 10000, 10000, 50000, 50000, 60000, 60000};
    static const int32_t temp_mc[] = {80000, 80000, 90000, 90000, 90000, 90000, 80000, 80000};
    struct heat_log_mc log = {.points = 8, .probes = 1, .time_ms = time_ms, .temp_mc = temp_mc};
    struct hold_report r = judged(&log, &recipe_85);
    assert_int_equal(r.hold_s, 50);
    assert_true(r.met);
}

static void cooling_must_start_in_time(void **state)
{
    (void)state;
    struct heat_log_mc log = ramp();
    struct hold_recipe recipe = recipe_85;
    recipe.cool_within_ms = 10000;
    struct hold_report r = judged(&log, &recipe);
    assert_int_equal(r.state, HOLD_COOL_UNKNOWN);
    assert_false(r.has_cool_delay);
    recipe.has_cool_start = true;
    recipe.cool_start_ms = 65000;
    r = judged(&log, &recipe);
    assert_true(r.met);
    assert_int_equal(r.cool_delay_ms, 10000);
    recipe.cool_start_ms = 65001;
    r = judged(&log, &recipe);
    assert_int_equal(r.state, HOLD_COOL_LATE);
    assert_int_equal(r.cool_delay_ms, 10001);
    assert_int_equal(r.hold_s, 50);
    recipe.hold_ms = 50000; /* just long enough: it is the cooling that fails */
    assert_int_equal(judged(&log, &recipe).state, HOLD_COOL_LATE);
}

static void what_comes_after_cooling_started_counts_for_nothing(void **state)
{
    (void)state;
    struct heat_log_mc log = ramp();
    struct hold_recipe recipe = recipe_85;
    recipe.has_cool_start = true;
    recipe.cool_start_ms = 45000;
    struct hold_report r = judged(&log, &recipe);
    assert_true(r.met);
    assert_int_equal(r.hold_s, 40);
    assert_int_equal(r.hold_end_ms, 45000);
    assert_int_equal(r.cool_delay_ms, 0);
    recipe.cool_start_ms = 44999;
    assert_int_equal(judged(&log, &recipe).state, HOLD_TOO_SHORT);
    recipe.cool_start_ms = 4999; /* before it was ever hot */
    assert_int_equal(judged(&log, &recipe).state, HOLD_NEVER_REACHED);
    recipe.cool_start_ms = -HEAT_TIME_MAX_MS;
    assert_int_equal(judged(&log, &recipe).state, HOLD_NEVER_REACHED);
}

static void a_shorter_hold_close_to_cooling_serves(void **state)
{
    (void)state;
    /* 60 s hot, a dip, 45 s hot, then cooling. */
    static const int64_t time_ms[] = {0, 60000, 61000, 62000, 107000, 108000};
    static const int32_t temp_mc[] = {85000, 85000, 80000, 85000, 85000, 60000};
    struct heat_log_mc log = {.points = 6, .probes = 1, .time_ms = time_ms, .temp_mc = temp_mc};
    struct hold_recipe recipe = recipe_85;
    recipe.has_cool_start = true;
    recipe.cool_start_ms = 110000;
    recipe.cool_within_ms = 5000;
    struct hold_report r = judged(&log, &recipe);
    assert_true(r.met);
    assert_int_equal(r.hold_s, 45);
    recipe.hold_ms = 50000;
    r = judged(&log, &recipe);
    assert_int_equal(r.state, HOLD_COOL_LATE);
    assert_int_equal(r.hold_s, 60);
    /* Two pieces never add up to one hold. */
    recipe.hold_ms = 100000;
    assert_int_equal(judged(&log, &recipe).state, HOLD_TOO_SHORT);
}

static void too_little_to_judge(void **state)
{
    (void)state;
    struct heat_log_mc log = ramp();
    log.points = 1;
    assert_int_equal(judged(&log, &recipe_85).state, HOLD_NO_DATA);
    log.points = 0;
    assert_int_equal(judged(&log, &recipe_85).state, HOLD_NO_DATA);
    static const int64_t same_ms[] = {7, 7};
    static const int32_t same_mc[] = {90000, 90000};
    struct heat_log_mc still = {.points = 2, .probes = 1, .time_ms = same_ms, .temp_mc = same_mc};
    assert_int_equal(judged(&still, &recipe_85).state, HOLD_NO_DATA);
}

static void recipes_out_of_range_are_named(void **state)
{
    (void)state;
    struct heat_log_mc log = ramp();
    struct hold_recipe bad[6];
    static const char *const field[6] = {"temp_mc",        "hold_ms",    "hold_ms",
                                         "cool_within_ms", "gap_max_ms", "cool_start_ms"};
    for (size_t i = 0; i < 6; i++) {
        bad[i] = recipe_85;
    }
    bad[0].temp_mc = 300001;
    bad[1].hold_ms = 0;
    bad[2].hold_ms = INT64_MAX;
    bad[3].cool_within_ms = -2;
    bad[4].gap_max_ms = HOLD_GAP_MAX_MS + 1;
    bad[5].has_cool_start = true;
    bad[5].cool_start_ms = INT64_MAX;
    for (size_t i = 0; i < 6; i++) {
        struct hold_report r;
        struct result got = hold_check(&log, &bad[i], &r);
        assert_code(got, FIELD_RANGE);
        assert_string_equal(got.field, field[i]);
        assert_false(r.met);
    }
    struct hold_report r;
    log.probes = 0;
    assert_code(hold_check(&log, &recipe_85, &r), FIELD_RANGE);
    assert_false(r.met);
}

/* The longest stretch by a second way: per interval the shares of it in which each probe is hot, in
 * long double. */
static long double longest_ms(const struct heat_log_mc *log, const struct hold_recipe *recipe)
{
    long double best = -1, from = 0;
    bool open = false;
    for (size_t i = 1; i < log->points; i++) {
        long double t0 = (long double)log->time_ms[i - 1];
        long double dt = (long double)(log->time_ms[i] - log->time_ms[i - 1]);
        long double low = 0, high = 1;
        for (size_t k = 0; k < log->probes; k++) {
            long double a =
                log->temp_mc[(i - 1) * log->probes + k] - log->uncertainty_mc[k] - recipe->temp_mc;
            long double b =
                log->temp_mc[i * log->probes + k] - log->uncertainty_mc[k] - recipe->temp_mc;
            if (a < 0 && b < 0) {
                high = -1;
            } else if (a < 0) {
                low = fmaxl(low, a / (a - b));
            } else if (b < 0) {
                high = fminl(high, a / (a - b));
            }
        }
        if (dt > (long double)recipe->gap_max_ms || high < low) {
            open = false;
            continue;
        }
        from = open && low == 0 ? from : t0 + low * dt;
        best = fmaxl(best, t0 + high * dt - from);
        open = high == 1;
    }
    return best;
}

static void a_second_way_finds_the_same(void **state)
{
    (void)state;
    struct random random;
    random_seed(&random, 7);
    size_t found = 0;
    for (int round = 0; round < 3000; round++) {
        int64_t time_ms[30];
        int32_t temp_mc[90];
        int64_t now_ms = (int64_t)random_below(&random, 1000000) - 500000;
        struct heat_log_mc log = {
            .points = 30, .probes = 3, .time_ms = time_ms, .temp_mc = temp_mc};
        for (size_t i = 0; i < 30; i++) {
            now_ms += 1 + (int64_t)random_below(&random, 10000);
            time_ms[i] = now_ms;
            for (size_t k = 0; k < 3; k++) {
                temp_mc[i * 3 + k] = 84000 + (int32_t)random_below(&random, 6000);
            }
        }
        for (size_t k = 0; k < 3; k++) {
            log.uncertainty_mc[k] = (int32_t)random_below(&random, 300);
        }
        struct hold_recipe recipe = recipe_85;
        recipe.gap_max_ms = 5000 + (int64_t)random_below(&random, 6000);
        long double wanted_ms = longest_ms(&log, &recipe);
        struct hold_report r = judged(&log, &recipe);
        if (r.state == HOLD_NEVER_REACHED) {
            /* A stretch shorter than the rounding of its two ends may vanish, none else. */
            assert_true(wanted_ms < 0.002L);
            continue;
        }
        found++;
        assert_true((long double)r.hold_s * 1000 <= wanted_ms);
        assert_true((long double)r.hold_s * 1000 > wanted_ms - 1000.002L);
        /* The ends in whole milliseconds lie inside. */
        assert_true((long double)(r.hold_end_ms - r.hold_start_ms) <= wanted_ms + 1e-9L);
        /* More doubt, less hold. */
        struct hold_report less;
        log.uncertainty_mc[1] += 200;
        less = judged(&log, &recipe);
        assert_true(less.hold_s <= r.hold_s);
    }
    assert_true(found > 1000);
}

static void backwards_it_is_as_long(void **state)
{
    (void)state;
    struct random random;
    random_seed(&random, 8);
    for (int round = 0; round < 300; round++) {
        int64_t time_ms[20], back_ms[20];
        int32_t temp_mc[20], back_mc[20];
        int64_t now_ms = 0;
        for (size_t i = 0; i < 20; i++) {
            now_ms += 1000 * (1 + (int64_t)random_below(&random, 10));
            time_ms[i] = now_ms;
            temp_mc[i] = 80000 + 1000 * (int32_t)random_below(&random, 11);
        }
        for (size_t i = 0; i < 20; i++) {
            back_ms[i] = -time_ms[19 - i];
            back_mc[i] = temp_mc[19 - i];
        }
        struct heat_log_mc log = {
            .points = 20, .probes = 1, .time_ms = time_ms, .temp_mc = temp_mc};
        struct heat_log_mc back = {
            .points = 20, .probes = 1, .time_ms = back_ms, .temp_mc = back_mc};
        assert_int_equal(judged(&log, &recipe_85).hold_s, judged(&back, &recipe_85).hold_s);
    }
}

static void states_have_words(void **state)
{
    (void)state;
    assert_string_equal(hold_state_word(HOLD_MET), "met");
    assert_string_equal(hold_state_word(HOLD_NO_DATA), "no-data");
    assert_string_equal(hold_state_word(HOLD_COOL_UNKNOWN), "cool-unknown");
    assert_string_equal(hold_state_word(HOLD_COOL_LATE), "cool-late");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(crossings_are_exact),
        cmocka_unit_test(crossings_are_rounded_inward),
        cmocka_unit_test(where_it_stands_on_the_calendar_does_not_matter),
        cmocka_unit_test(the_hold_asked_for_is_met_exactly_or_not),
        cmocka_unit_test(every_probe_must_be_hot_at_once),
        cmocka_unit_test(each_probe_has_its_own_uncertainty),
        cmocka_unit_test(a_silence_breaks_the_hold),
        cmocka_unit_test(points_that_repeat_do_no_harm),
        cmocka_unit_test(cooling_must_start_in_time),
        cmocka_unit_test(what_comes_after_cooling_started_counts_for_nothing),
        cmocka_unit_test(a_shorter_hold_close_to_cooling_serves),
        cmocka_unit_test(too_little_to_judge),
        cmocka_unit_test(recipes_out_of_range_are_named),
        cmocka_unit_test(a_second_way_finds_the_same),
        cmocka_unit_test(backwards_it_is_as_long),
        cmocka_unit_test(states_have_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
