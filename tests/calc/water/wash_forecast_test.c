#include "../../support.h"

#include "calc/water/wash_forecast.h"

#define H INT64_C(3600000)

/* 2000 L, 500 L/h leave, 400 g/h come in: settles at 800 mg/L; 176.96 after one hour, 314.78 after
 * two, 600 at 5.5452 h (computed here, by X(t) = 800 (1 - e^(-t/4))). */
static const struct wash_record record = {
    .volume_ml = 2000000, .leaves_ml_h = 500000, .limit_milli = 600000};
static const struct wash_seen seen[] = {{0, 0}, {H, 176959}, {2 * H, 314775}};

static void two_readings_say_what_comes_in(void **state)
{
    (void)state;
    struct wash_forecast f;
    int64_t level;
    assert_ok(wash_forecast(&record, seen, 3, &f));
    assert_true(f.known && f.has_steady);
    assert_in_range(f.load_milli_h, 399990000, 400010000);
    assert_in_range(f.steady_milli, 799980, 800020);
    assert_int_equal(f.reach, WASH_REACHES);
    assert_in_range(f.reach_ms, 19960000, 19965000); /* 5.5452 h */
    assert_ok(wash_forecast_at(&record, &seen[2], &f, 4 * H, &level));
    assert_in_range(level, 505690, 505720); /* 505.70 */
}

static void the_worst_pair_counts(void **state)
{
    (void)state;
    const struct wash_seen calm[] = {{0, 0}, {H, 176959}, {2 * H, 180000}};
    struct wash_forecast f;
    assert_ok(wash_forecast(&record, calm, 3, &f));
    assert_in_range(f.load_milli_h, 399990000, 400010000);
}

static void too_little_says_nothing(void **state)
{
    (void)state;
    const struct wash_seen close[] = {{0, 0}, {WASH_APART_MS - 1, 176959}};
    struct wash_forecast f;
    assert_ok(wash_forecast(&record, close, 2, &f));
    assert_false(f.known);
    assert_ok(wash_forecast(&record, close, 0, &f));
    assert_false(f.known);
    const struct wash_seen above[] = {{0, 600000}};
    assert_ok(wash_forecast(&record, above, 1, &f));
    assert_false(f.known);
    assert_int_equal(f.reach, WASH_ABOVE_NOW);
}

static void without_fresh_water_it_rises_in_a_straight_line(void **state)
{
    (void)state;
    struct wash_record closed = {.volume_ml = 1000000, .limit_milli = 100000};
    const struct wash_seen line[] = {{0, 10000}, {H, 20000}};
    struct wash_forecast f;
    assert_ok(wash_forecast(&closed, line, 2, &f));
    assert_false(f.has_steady);
    assert_int_equal(f.reach, WASH_REACHES);
    assert_in_range(f.reach_ms, 9 * H - 10, 9 * H); /* 80 more at 10 an hour */
    closed.decay_milli = 500;                       /* what settles holds it below */
    assert_ok(wash_forecast(&closed, line, 2, &f));
    assert_int_equal(f.reach, WASH_STAYS_BELOW);
    assert_true(f.has_steady && f.steady_milli < 100000);
}

static void faults(void **state)
{
    (void)state;
    struct wash_record bad = record;
    const struct wash_seen back[] = {{H, 1}, {0, 1}};
    struct wash_forecast f;
    int64_t level;
    bad.limit_milli = 0;
    assert_code(wash_forecast(&bad, seen, 3, &f), FIELD_RANGE);
    assert_code(wash_forecast(&record, back, 2, &f), LOG_BACKWARDS);
    assert_ok(wash_forecast(&record, seen, 3, &f));
    assert_code(wash_forecast_at(&record, &seen[2], &f, H, &level), FIELD_RANGE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_readings_say_what_comes_in),
        cmocka_unit_test(the_worst_pair_counts),
        cmocka_unit_test(too_little_says_nothing),
        cmocka_unit_test(without_fresh_water_it_rises_in_a_straight_line),
        cmocka_unit_test(faults),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
