#include "../../support.h"

#include "../near.h"
#include "calc/heat/cooling_check.h"

enum { MIN_MS = 60000 };

static const int64_t hour_ms[] = {0, 60 * MIN_MS, 120 * MIN_MS, 300 * MIN_MS, 360 * MIN_MS};

static struct cooling_report judged(const struct heat_log_mc *log, const char *rule)
{
    struct cooling_report r;
    struct cooling_ask ask = {.rule = cooling_rule_find(rule), .gap_max_ms = 200 * MIN_MS};
    assert_ok(cooling_check(log, &ask, &r));
    return r;
}

static struct heat_log_mc five(const int32_t *temp_mc)
{
    return (struct heat_log_mc){.points = 5, .probes = 1, .time_ms = hour_ms, .temp_mc = temp_mc};
}

static void just_in_time_is_in_time(void **state)
{
    (void)state;
    static const int32_t just_mc[] = {57000, 40000, 21000, 8000, 5000};
    struct heat_log_mc log = five(just_mc);
    struct cooling_report r = judged(&log, "food-code");
    assert_int_equal(r.verdict, COOLING_PASS);
    assert_true(r.stage[0].late_us == INT64_C(7200000000) && r.stage[0].start_us == 0);
    static const int32_t warm_mc[] = {57000, 40000, 21001, 8000, 5000};
    log = five(warm_mc);
    r = judged(&log, "food-code");
    assert_int_equal(r.verdict, COOLING_FAIL);
    assert_int_equal(r.stage[0].state, COOLING_LATE);
    assert_int_equal(r.stage[1].state, COOLING_DONE);
}

static void doubt_counts_as_warmth(void **state)
{
    (void)state;
    static const int32_t mc[] = {57000, 40000, 20700, 8000, 4700};
    struct heat_log_mc log = five(mc);
    log.uncertainty_mc[0] = 300;
    struct cooling_report r = judged(&log, "food-code");
    assert_int_equal(r.verdict, COOLING_PASS);
    assert_true(r.stage[0].start_us > 0); /* 57.3 C leaves 57 C a little later */
    log.uncertainty_mc[0] = 301;
    assert_int_equal(judged(&log, "food-code").verdict, COOLING_FAIL);
}

static void the_warmest_probe_counts_and_each_crosses_for_itself(void **state)
{
    (void)state;
    /* Probe 0 leaves 57 C after 20 min, probe 1 after 30 min: the later one starts the clock. */
    static const int64_t time_ms[] = {0, 60 * MIN_MS, 120 * MIN_MS};
    static const int32_t mc[] = {60000, 58000, 51000, 56000, 20000, 20500};
    struct heat_log_mc log = {.points = 3, .probes = 2, .time_ms = time_ms, .temp_mc = mc};
    struct cooling_report r = judged(&log, "food-code");
    assert_true(r.stage[0].start_us == INT64_C(1800000000));
    /* 21 C: probe 0 falls 31 C in the hour, probe 1 35.5 C (computed here). */
    assert_near((double)r.stage[0].crossed_us, 3600e6 + 3600e6 * 35.0 / 35.5, 1e-9);
    assert_int_equal(r.stage[0].state, COOLING_DONE);
    assert_int_equal(r.stage[1].state, COOLING_OPEN);
    assert_int_equal(r.verdict, COOLING_REVIEW);
}

static void warming_opens_a_stage_again(void **state)
{
    (void)state;
    static const int32_t mc[] = {57000, 20000, 21500, 15000, 5000};
    struct heat_log_mc log = five(mc);
    struct cooling_report r = judged(&log, "food-code");
    assert_int_equal(r.stage[0].state, COOLING_LATE);
    assert_true(r.stage[0].reopened);
    assert_true(r.stage[0].late_us == INT64_C(18000000000));
    /* Warmed back across the upper limit: the clock starts anew, but that is for review. */
    static const int32_t back_mc[] = {60000, 50000, 58000, 57000, 20000};
    log = five(back_mc);
    r = judged(&log, "food-code");
    assert_int_equal(r.stage[0].state, COOLING_REWARMED);
    assert_true(r.stage[0].start_us == INT64_C(18000000000));
    assert_int_equal(r.verdict, COOLING_REVIEW);
}

static void what_was_not_seen_passes_nothing(void **state)
{
    (void)state;
    static const int32_t cold_mc[] = {50000, 40000, 21000, 8000, 5000};
    struct heat_log_mc log = five(cold_mc);
    struct cooling_report r = judged(&log, "food-code");
    assert_int_equal(r.stage[0].state, COOLING_START_LOST);
    assert_int_equal(r.verdict, COOLING_REVIEW);
    static const int32_t slow_mc[] = {50000, 40000, 30000, 8000, 5000};
    log = five(slow_mc);
    assert_int_equal(judged(&log, "food-code").verdict, COOLING_FAIL);
    static const int32_t hot_mc[] = {60000, 60000, 60000, 60000, 57000};
    log = five(hot_mc);
    r = judged(&log, "food-code");
    assert_int_equal(r.stage[0].state, COOLING_NOT_BEGUN);
    assert_int_equal(r.verdict, COOLING_REVIEW);
}

static void a_silence_in_a_stage_is_for_review(void **state)
{
    (void)state;
    static const int32_t mc[] = {57000, 40000, 21000, 8000, 5000};
    struct heat_log_mc log = five(mc);
    struct cooling_report r;
    struct cooling_ask ask = {.rule = cooling_rule_find("food-code"), .gap_max_ms = 60 * MIN_MS};
    assert_ok(cooling_check(&log, &ask, &r));
    assert_int_equal(r.stage[0].state, COOLING_DONE);
    assert_int_equal(r.stage[1].state, COOLING_GAP);
    assert_int_equal(r.verdict, COOLING_REVIEW);
    assert_int_equal(r.gaps, 1);
    assert_true(r.gap_longest_ms == 180 * MIN_MS);
}

static void a_stage_still_open_fails_when_its_time_is_over(void **state)
{
    (void)state;
    static const int32_t mc[] = {57000, 40000, 21000, 8000, 5001};
    struct heat_log_mc log = five(mc);
    assert_int_equal(judged(&log, "food-code").stage[1].state, COOLING_OPEN);
    int64_t later_ms[5];
    memcpy(later_ms, hour_ms, sizeof later_ms);
    later_ms[4]++;
    log.time_ms = later_ms;
    struct cooling_report r = judged(&log, "food-code");
    assert_int_equal(r.stage[1].state, COOLING_LATE);
    assert_false(r.stage[1].reached);
}

static void no_data_is_for_review(void **state)
{
    (void)state;
    static const int32_t mc[] = {57000};
    struct heat_log_mc log = {.points = 1, .probes = 1, .time_ms = hour_ms, .temp_mc = mc};
    struct cooling_report r = judged(&log, "food-code");
    assert_true(r.no_data);
    assert_int_equal(r.verdict, COOLING_REVIEW);
    assert_int_equal(r.stages, 0);
    static const int64_t once_ms[] = {7, 7};
    static const int32_t twice_mc[] = {4000, 4000};
    log = (struct heat_log_mc){.points = 2, .probes = 1, .time_ms = once_ms, .temp_mc = twice_mc};
    assert_true(judged(&log, "uk-8").no_data);
}

static void a_year_between_two_points_says_nothing(void **state)
{
    (void)state;
    static const int64_t time_ms[] = {-HEAT_TIME_MAX_MS, HEAT_TIME_MAX_MS};
    static const int32_t mc[] = {300000, -60000};
    struct heat_log_mc log = {.points = 2, .probes = 1, .time_ms = time_ms, .temp_mc = mc};
    struct cooling_report r = judged(&log, "food-code");
    assert_int_equal(r.verdict, COOLING_FAIL);
    assert_true(r.stage[0].start_us == 0);
}

static void what_means_nothing_is_refused(void **state)
{
    (void)state;
    static const int32_t mc[] = {57000, 40000, 21000, 8000, 5000};
    struct heat_log_mc log = five(mc);
    struct cooling_report r;
    struct cooling_ask ask = {.rule = cooling_rule_find("uk-8"), .gap_max_ms = 0};
    assert_string_equal(cooling_check(&log, &ask, &r).field, "gap_max_ms");
    ask.gap_max_ms = 1;
    ask.has_chill_start = true;
    ask.chill_start_ms = INT64_MAX;
    assert_string_equal(cooling_check(&log, &ask, &r).field, "chill_start_ms");
    ask.has_chill_start = false;
    log.probes = 0;
    assert_code(cooling_check(&log, &ask, &r), FIELD_RANGE);
    assert_int_equal(r.verdict, COOLING_REVIEW);
    assert_string_equal(cooling_verdict_word(COOLING_REVIEW), "review");
    assert_string_equal(cooling_state_word(COOLING_GAP), "gap");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(just_in_time_is_in_time),
        cmocka_unit_test(doubt_counts_as_warmth),
        cmocka_unit_test(the_warmest_probe_counts_and_each_crosses_for_itself),
        cmocka_unit_test(warming_opens_a_stage_again),
        cmocka_unit_test(what_was_not_seen_passes_nothing),
        cmocka_unit_test(a_silence_in_a_stage_is_for_review),
        cmocka_unit_test(a_stage_still_open_fails_when_its_time_is_over),
        cmocka_unit_test(no_data_is_for_review),
        cmocka_unit_test(a_year_between_two_points_says_nothing),
        cmocka_unit_test(what_means_nothing_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
