#include "../../support.h"

#include "../near.h"
#include "calc/water/water_period.h"

enum { HOUR_MS = 3600000 };

static const struct water_chain no_chain = {0};

static struct water_limits limits_of_chlorine(void)
{
    struct water_limits limits = water_limits_none(HOUR_MS);
    limits.low[WATER_DISINFECTANT_UG_L] = 500;
    return limits;
}

static struct water_reading chlorine(int64_t time_ms, int64_t ug_l)
{
    struct water_reading r = water_reading_none(time_ms);
    r.value[WATER_DISINFECTANT_UG_L] = ug_l;
    return r;
}

static struct water_period judged(const struct water_reading *readings, size_t count,
                                  int64_t end_ms)
{
    struct water_period out;
    struct water_limits limits = limits_of_chlorine();
    assert_ok(water_period(readings, count, 0, end_ms, &limits, &no_chain, &out));
    return out;
}

static void the_limit_itself_is_good(void **state)
{
    (void)state;
    struct water_reading readings[2] = {chlorine(0, 500), chlorine(HOUR_MS, 500)};
    assert_int_equal(judged(readings, 2, HOUR_MS).state, WATER_GOOD);
    assert_int_equal(judged(readings, 2, HOUR_MS).stretches, 0);
    readings[1].value[WATER_DISINFECTANT_UG_L] = 499;
    struct water_period r = judged(readings, 2, HOUR_MS);
    assert_int_equal(r.state, WATER_BAD);
    assert_int_equal(r.broken[WATER_DISINFECTANT_UG_L], 1);
    assert_int_equal(r.stretches, 1);
    assert_true(r.stretch[0].from_ms == 0 && r.stretch[0].to_ms == HOUR_MS && r.stretch[0].bad);
}

static void held_from_the_last_good_to_the_next_good(void **state)
{
    (void)state;
    struct water_reading readings[6] = {
        chlorine(0, 900),           chlorine(HOUR_MS, 100),     chlorine(2 * HOUR_MS, WATER_NONE),
        chlorine(3 * HOUR_MS, 900), chlorine(4 * HOUR_MS, 900), chlorine(5 * HOUR_MS, WATER_NONE)};
    struct water_period r = judged(readings, 6, 5 * HOUR_MS);
    assert_int_equal(r.good, 3);
    assert_int_equal(r.bad, 1);
    assert_int_equal(r.unknown, 2);
    assert_int_equal(r.unread[WATER_DISINFECTANT_UG_L], 2);
    assert_int_equal(r.stretches, 2);
    assert_true(r.stretch[0].from_ms == 0 && r.stretch[0].to_ms == 3 * HOUR_MS);
    assert_true(r.stretch[0].bad);
    assert_true(r.stretch[1].from_ms == 4 * HOUR_MS && r.stretch[1].to_ms == 5 * HOUR_MS);
    assert_false(r.stretch[1].bad);
}

static void a_silence_is_unknown_at_both_ends_too(void **state)
{
    (void)state;
    struct water_reading one = chlorine(HOUR_MS, 900);
    assert_int_equal(judged(&one, 1, 2 * HOUR_MS).state, WATER_GOOD);
    struct water_period r = judged(&one, 1, 2 * HOUR_MS + 1);
    assert_int_equal(r.state, WATER_UNKNOWN);
    assert_true(r.stretch[0].from_ms == HOUR_MS && r.stretch[0].to_ms == 2 * HOUR_MS + 1);
    assert_true(r.longest_ms == HOUR_MS + 1);
    one.time_ms = HOUR_MS + 1;
    r = judged(&one, 1, 2 * HOUR_MS);
    assert_int_equal(r.state, WATER_UNKNOWN);
    assert_true(r.stretch[0].from_ms == 0 && r.stretch[0].to_ms == HOUR_MS + 1);
    r = judged(NULL, 0, HOUR_MS);
    assert_int_equal(r.state, WATER_NO_DATA);
    assert_int_equal(r.stretches, 1);
    assert_true(r.stretch[0].from_ms == 0 && r.stretch[0].to_ms == HOUR_MS);
}

static void more_stretches_than_fit_are_joined(void **state)
{
    (void)state;
    enum { MANY = 2 * (WATER_STRETCHES_MAX + 20) };
    static struct water_reading readings[MANY];
    for (int i = 0; i < MANY; i++) {
        readings[i] = chlorine(i * 1000, i % 2 == 0 ? 900 : 100);
    }
    struct water_period r = judged(readings, MANY, MANY * 1000);
    assert_int_equal(r.stretches, WATER_STRETCHES_MAX);
    assert_true(r.stretch[WATER_STRETCHES_MAX - 1].to_ms == MANY * 1000);
    assert_int_equal(r.bad, MANY / 2);
}

static struct water_reading whole(int64_t time_ms, int64_t ug_l, int64_t ml_min)
{
    struct water_reading r = chlorine(time_ms, ug_l);
    r.value[WATER_PH_MILLI] = 7500;
    r.value[WATER_TEMP_MC] = 10000;
    r.value[WATER_FLOW_ML_MIN] = ml_min;
    return r;
}

static void the_chain_is_judged_at_every_reading(void **state)
{
    (void)state;
    static const struct water_segment segments[2] = {{2500, 0.3}, {2500, 0.3}};
    struct water_chain chain = {segments, 2, 0.5, 4};
    struct water_limits limits = water_limits_none(HOUR_MS);
    struct water_reading readings[3] = {whole(0, 800, 50000), whole(1000, 800, 0),
                                        whole(2000, 800, 55000)};
    struct water_period r;
    assert_ok(water_period(readings, 3, 0, 2000, &limits, &chain, &r));
    /* 3 x 24/131 at 50 L/min (computed here); a tenth more flow leaves too little. */
    assert_int_equal(r.state, WATER_BAD);
    assert_int_equal(r.ct_low, 1);
    assert_true(r.has_ct);
    assert_near(r.giardia_log_lowest, 72.0 / 131 / 1.1, 1e-14);
    chain.giardia_log_needed = 0.4996;
    assert_ok(water_period(readings, 3, 0, 2000, &limits, &chain, &r));
    assert_int_equal(r.state, WATER_GOOD);
    readings[1].value[WATER_TEMP_MC] = WATER_NONE;
    assert_ok(water_period(readings, 3, 0, 2000, &limits, &chain, &r));
    assert_int_equal(r.state, WATER_UNKNOWN);
    assert_int_equal(r.unread[WATER_TEMP_MC], 1);
}

static void strong_hot_and_freezing_water_stays_at_the_edge(void **state)
{
    (void)state;
    static const struct water_segment segment = {5000, 0.3};
    struct water_chain chain = {&segment, 1, 0, 0};
    struct water_limits limits = water_limits_none(HOUR_MS);
    struct water_reading readings[2] = {whole(0, 200000, 50000), whole(1, 200000, 50000)};
    struct water_period r;
    readings[0].value[WATER_TEMP_MC] = -1000;
    readings[1].value[WATER_TEMP_MC] = 95000;
    assert_ok(water_period(readings, 2, 0, 1, &limits, &chain, &r));
    assert_int_equal(r.state, WATER_GOOD);
    assert_near(r.giardia_log_lowest, 3 * 1500.0 / 316, 1e-14);
}

static void what_means_nothing_is_refused(void **state)
{
    (void)state;
    struct water_reading readings[2] = {chlorine(10, 900), chlorine(5, 900)};
    struct water_limits limits = limits_of_chlorine();
    struct water_period r;
    struct result bad = water_period(readings, 2, 0, 100, &limits, &no_chain, &r);
    assert_code(bad, LOG_BACKWARDS);
    assert_string_equal(bad.field, "readings[1].time");
    readings[1] = chlorine(101, 900);
    assert_code(water_period(readings, 2, 0, 100, &limits, &no_chain, &r), FIELD_RANGE);
    readings[1] = chlorine(20, -1);
    assert_string_equal(water_period(readings, 2, 0, 100, &limits, &no_chain, &r).field,
                        "readings[1].disinfectant");
    assert_string_equal(water_period(readings, 1, 101, 100, &limits, &no_chain, &r).field,
                        "begin_ms");
    limits.interval_max_ms = 0;
    assert_string_equal(water_period(readings, 1, 0, 100, &limits, &no_chain, &r).field,
                        "interval_max_ms");
    limits = limits_of_chlorine();
    static const struct water_segment segment = {5000, 1.1};
    struct water_chain chain = {&segment, 1, 0, 0};
    assert_string_equal(water_period(readings, 1, 0, 100, &limits, &chain, &r).field,
                        "segments[0].baffling");
    chain.virus_log_needed = 5;
    assert_string_equal(water_period(readings, 1, 0, 100, &limits, &chain, &r).field,
                        "virus_log_needed");
    assert_int_equal(r.state, WATER_NO_DATA);
}

static void words_are_stable(void **state)
{
    (void)state;
    assert_string_equal(water_state_word(WATER_UNKNOWN), "unknown");
    assert_string_equal(water_quantity_word(WATER_FLOW_ML_MIN), "flow");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_limit_itself_is_good),
        cmocka_unit_test(held_from_the_last_good_to_the_next_good),
        cmocka_unit_test(a_silence_is_unknown_at_both_ends_too),
        cmocka_unit_test(more_stretches_than_fit_are_joined),
        cmocka_unit_test(the_chain_is_judged_at_every_reading),
        cmocka_unit_test(strong_hot_and_freezing_water_stays_at_the_edge),
        cmocka_unit_test(what_means_nothing_is_refused),
        cmocka_unit_test(words_are_stable),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
