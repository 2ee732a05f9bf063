#include "../../support.h"

#include "../near.h"
#include "base/random.h"
#include "calc/growth/heat_sum.h"

enum { HOUR_MS = 3600000 };

static const struct heat_sum_crop soybean = {
    .base_mc = 4000, .optimum_mc = 30000, .goal_mc_h = 2450000};

static struct heat_sum_report summed(const int64_t *time_ms, const int32_t *temp_mc, size_t points)
{
    struct heat_sum_report out;
    assert_ok(heat_sum(&soybean, time_ms, temp_mc, points, &out));
    return out;
}

static void a_steady_bed_is_a_product(void **state)
{
    (void)state;
    const int64_t time_ms[] = {0, 60 * HOUR_MS};
    const int32_t temp_mc[] = {20000, 20000};
    struct heat_sum_report r = summed(time_ms, temp_mc, 2);
    assert_near(r.sum_c_h, 960, 1e-14);
    assert_int_equal(r.sum_mc_h, 960000);
    assert_int_equal(r.gaps, 1);
    assert_true(r.has_gap);
    assert_int_equal(r.gap_longest_ms, 60 * (int64_t)HOUR_MS);
    assert_near(summed(time_ms, temp_mc, 1).sum_c_h, 0, 0);
    assert_near(summed(time_ms, temp_mc, 0).sum_c_h, 0, 0);
}

static void two_hours_are_no_gap(void **state)
{
    (void)state;
    const int64_t time_ms[] = {0, 2 * HOUR_MS, 4 * HOUR_MS + 1};
    const int32_t temp_mc[] = {20000, 20000, 20000};
    assert_int_equal(summed(time_ms, temp_mc, 2).gaps, 0);
    assert_int_equal(summed(time_ms, temp_mc, 3).gaps, 1);
}

static void base_and_optimum_cut_the_line(void **state)
{
    (void)state;
    const int64_t time_ms[] = {0, HOUR_MS};
    /* From 0 to 40 C in an hour: 26 minutes... of 40: below 4 nothing, above 30 as 30. */
    const int32_t rise_mc[] = {0, 40000};
    double wanted = (26.0 * 26 / 2 + 10 * 26) / 40;
    assert_near(summed(time_ms, rise_mc, 2).sum_c_h, wanted, 1e-14);
    const int32_t fall_mc[] = {40000, 0};
    assert_near(summed(time_ms, fall_mc, 2).sum_c_h, wanted, 1e-14);
    const int32_t cold_mc[] = {-5000, 4000};
    assert_near(summed(time_ms, cold_mc, 2).sum_c_h, 0, 0);
    const int32_t hot_mc[] = {30000, 50000};
    assert_near(summed(time_ms, hot_mc, 2).sum_c_h, 26, 1e-14);
    const int32_t inside_mc[] = {10000, 20000};
    assert_near(summed(time_ms, inside_mc, 2).sum_c_h, 11, 1e-14);
}

/* Cutting a log where the line says so changes nothing: the sum is exact. */
static void splitting_changes_nothing(void **state)
{
    (void)state;
    struct random random;
    random_seed(&random, 9);
    for (int i = 0; i < 300; i++) {
        int32_t from_mc = 2 * ((int32_t)random_below(&random, 30000) - 5000);
        int32_t to_mc = 2 * ((int32_t)random_below(&random, 30000) - 5000);
        int64_t end_ms = 2 * (1 + (int64_t)random_below(&random, 40000000));
        const int64_t whole_ms[] = {0, end_ms};
        const int32_t whole_mc[] = {from_mc, to_mc};
        const int64_t split_ms[] = {0, end_ms / 2, end_ms};
        const int32_t split_mc[] = {from_mc, (from_mc + to_mc) / 2, to_mc};
        double a = summed(whole_ms, whole_mc, 2).sum_c_h;
        double b = summed(split_ms, split_mc, 3).sum_c_h;
        assert_true(fabs(a - b) <= 1e-12 * (1 + a));
    }
}

static void logs_out_of_order_are_named(void **state)
{
    (void)state;
    struct heat_sum_report r;
    const int32_t temp_mc[] = {20000, 20000, 21000};
    const int64_t back_ms[] = {0, 10, 9};
    struct result got = heat_sum(&soybean, back_ms, temp_mc, 3, &r);
    assert_code(got, LOG_BACKWARDS);
    assert_string_equal(got.field, "points[2][0]");
    const int64_t same_ms[] = {0, 10, 10};
    assert_code(heat_sum(&soybean, same_ms, temp_mc, 3, &r), LOG_TWICE);
    const int64_t twice_ms[] = {0, 0, 10};
    assert_ok(heat_sum(&soybean, twice_ms, temp_mc, 3, &r));
    const int32_t hot_mc[] = {20000, 300001};
    got = heat_sum(&soybean, back_ms, hot_mc, 2, &r);
    assert_code(got, FIELD_RANGE);
    assert_string_equal(got.field, "points[1][1]");
    const int64_t long_ms[] = {0, INT64_C(86400000001)};
    assert_code(heat_sum(&soybean, long_ms, temp_mc, 2, &r), FIELD_RANGE);
    const int64_t far_ms[] = {INT64_MIN, 0};
    assert_code(heat_sum(&soybean, far_ms, temp_mc, 2, &r), FIELD_RANGE);
}

static void crops_that_cannot_be_are_named(void **state)
{
    (void)state;
    static const struct {
        struct heat_sum_crop crop;
        const char *field;
    } cases[] = {
        {{-5001, 30000, 1}, "base_mc"},          {{30000, 30000, 1}, "optimum_mc"},
        {{4000, 60001, 1}, "optimum_mc"},        {{4000, 30000, 0}, "goal_mc_h"},
        {{4000, 30000, 100000001}, "goal_mc_h"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct heat_sum_report r;
        struct result got = heat_sum(&cases[i].crop, NULL, NULL, 0, &r);
        assert_code(got, FIELD_RANGE);
        assert_string_equal(got.field, cases[i].field);
    }
}

static struct harvest_forecast forecast(int64_t done_mc_h, int64_t now_ms,
                                        const struct set_point *ahead, size_t set_points)
{
    struct harvest_forecast out;
    assert_ok(harvest_forecast(&soybean, done_mc_h, now_ms, ahead, set_points, &out));
    return out;
}

static void the_present_set_point_carries_on(void **state)
{
    (void)state;
    const struct set_point ahead[] = {{0, 25000}};
    struct harvest_forecast r = forecast(960000, 60 * (int64_t)HOUR_MS, ahead, 1);
    assert_int_equal(r.remaining_mc_h, 1490000);
    /* 1490/21 h = 255428571.43 ms */
    assert_int_equal(r.ready_ms, 60 * (int64_t)HOUR_MS + 255428572);
    const struct set_point cooler[] = {{0, 20000}};
    r = forecast(960000, 60 * (int64_t)HOUR_MS, cooler, 1);
    assert_near(r.lever_h_per_c, -1490.0 / 256, 1e-14);
    assert_int_equal(r.lever_ms_per_c, -20953125);
}

static void stages_follow_each_other(void **state)
{
    (void)state;
    /* 18 C for two days, 20 C for two, then 25 C: 672 + 768 = 1440, 1010 left at 21 an hour. */
    const struct set_point ahead[] = {
        {0, 18000}, {48 * (int64_t)HOUR_MS, 20000}, {96 * (int64_t)HOUR_MS, 25000}};
    struct harvest_forecast r = forecast(0, 0, ahead, 3);
    assert_int_equal(r.ready_ms, 96 * (int64_t)HOUR_MS + 173142858);
    /* Seen from the middle of the second stage with what was done by then. */
    r = forecast(672000 + 384000, 72 * (int64_t)HOUR_MS, ahead, 3);
    assert_int_equal(r.ready_ms, 96 * (int64_t)HOUR_MS + 173142858);
    /* Done exactly as the second stage ends, though the third would be too cold to grow. */
    const struct set_point stopped[] = {
        {0, 18000}, {48 * (int64_t)HOUR_MS, 20000}, {96 * (int64_t)HOUR_MS, 1000}};
    r = forecast(2450000 - 1440000, 0, stopped, 3);
    assert_int_equal(r.ready_ms, 96 * (int64_t)HOUR_MS);
    assert_false(r.never);
    r = forecast(2450000 - 1440001, 0, stopped, 3);
    assert_true(r.never);
    assert_int_equal(r.ready_ms, 0);
    /* A pause in between only delays. */
    const struct set_point paused[] = {{0, 4000}, {10 * (int64_t)HOUR_MS, 29000}};
    r = forecast(2425000, 0, paused, 2);
    assert_int_equal(r.ready_ms, 11 * (int64_t)HOUR_MS);
}

static void reached_and_never(void **state)
{
    (void)state;
    const struct set_point ahead[] = {{0, 20000}};
    struct harvest_forecast r = forecast(2450000, 7, ahead, 1);
    assert_true(r.reached);
    assert_int_equal(r.ready_ms, 7);
    const struct set_point cold[] = {{0, 4000}};
    r = forecast(0, 7, cold, 1);
    assert_true(r.never);
    assert_near(r.lever_h_per_c, 0, 0);
    /* Above the optimum a degree more changes nothing, and hotter is no faster. */
    const struct set_point hot[] = {{0, 30000}};
    const struct set_point hotter[] = {{0, 40000}};
    assert_near(forecast(0, 0, hot, 1).lever_h_per_c, 0, 0);
    assert_int_equal(forecast(0, 0, hot, 1).ready_ms, forecast(0, 0, hotter, 1).ready_ms);
}

static void the_forecast_is_when_the_sum_is_full(void **state)
{
    (void)state;
    struct random random;
    random_seed(&random, 10);
    for (int i = 0; i < 500; i++) {
        struct set_point ahead[4];
        int64_t from_ms = 0;
        for (size_t k = 0; k < 4; k++) {
            ahead[k] = (struct set_point){from_ms, 5000 + (int32_t)random_below(&random, 30000)};
            from_ms += 1 + (int64_t)random_below(&random, 300000000);
        }
        struct harvest_forecast r = forecast(0, 0, ahead, 4);
        int64_t sum = 0; /* mC ms up to the forecast, by stages */
        for (size_t k = 0; k < 4; k++) {
            int64_t end_ms =
                k < 3 && ahead[k + 1].from_ms < r.ready_ms ? ahead[k + 1].from_ms : r.ready_ms;
            int64_t held_mc = ahead[k].temp_mc < 30000 ? ahead[k].temp_mc : 30000;
            sum += end_ms > ahead[k].from_ms ? (end_ms - ahead[k].from_ms) * (held_mc - 4000) : 0;
        }
        int64_t goal = INT64_C(2450000) * HOUR_MS;
        assert_true(sum >= goal && sum < goal + 26000);
    }
}

static void set_points_out_of_order_are_named(void **state)
{
    (void)state;
    struct harvest_forecast r;
    const struct set_point late[] = {{10, 20000}};
    struct result got = harvest_forecast(&soybean, 0, 9, late, 1, &r);
    assert_code(got, FIELD_RANGE);
    assert_string_equal(got.field, "ahead[0]");
    const struct set_point same[] = {{0, 20000}, {0, 21000}};
    got = harvest_forecast(&soybean, 0, 9, same, 2, &r);
    assert_code(got, FIELD_RANGE);
    assert_string_equal(got.field, "ahead[1]");
    got = harvest_forecast(&soybean, 0, 9, late, 0, &r);
    assert_string_equal(got.field, "ahead");
    got = harvest_forecast(&soybean, -1, 19, late, 1, &r);
    assert_string_equal(got.field, "done_mc_h");
    const struct set_point hot[] = {{0, 300001}};
    got = harvest_forecast(&soybean, 0, 0, hot, 1, &r);
    assert_string_equal(got.field, "ahead[0]");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_steady_bed_is_a_product),
        cmocka_unit_test(two_hours_are_no_gap),
        cmocka_unit_test(base_and_optimum_cut_the_line),
        cmocka_unit_test(splitting_changes_nothing),
        cmocka_unit_test(logs_out_of_order_are_named),
        cmocka_unit_test(crops_that_cannot_be_are_named),
        cmocka_unit_test(the_present_set_point_carries_on),
        cmocka_unit_test(stages_follow_each_other),
        cmocka_unit_test(reached_and_never),
        cmocka_unit_test(the_forecast_is_when_the_sum_is_full),
        cmocka_unit_test(set_points_out_of_order_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
