#include "../../support.h"

#include "../near.h"
#include "calc/heat/heat_log.h"

static const int64_t times_ms[] = {0, 1000, 2000};
static const double temps_c[] = {20, 21, 30, 31, 40, 41};

static struct heat_log log_of_two_probes(void)
{
    return (struct heat_log){.points = 3, .probes = 2, .time_ms = times_ms, .temp_c = temps_c};
}

static void a_sound_log_passes(void **state)
{
    (void)state;
    struct heat_log log = log_of_two_probes();
    assert_ok(heat_log_check(&log));
    log.points = 0;
    assert_ok(heat_log_check(&log));
    static const double edges_c[] = {-60, 300, -60, 300, -60, 300};
    log = log_of_two_probes();
    log.temp_c = edges_c;
    log.uncertainty_c[1] = 20;
    assert_ok(heat_log_check(&log));
}

static void probes_and_uncertainties_are_bounded(void **state)
{
    (void)state;
    struct heat_log log = log_of_two_probes();
    log.probes = 0;
    assert_code(heat_log_check(&log), FIELD_RANGE);
    log.probes = 17;
    struct result r = heat_log_check(&log);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "probes");
    assert_string_equal(r.value[0], "17");
    static const struct {
        double value;
        enum code code;
    } cases[] = {{-0.001, CODE_FIELD_RANGE},
                 {20.001, CODE_FIELD_RANGE},
                 {(double)NAN, CODE_NUMBER_BAD},
                 {(double)INFINITY, CODE_NUMBER_BAD}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        log = log_of_two_probes();
        log.uncertainty_c[1] = cases[i].value;
        r = heat_log_check(&log);
        assert_code_at(r, cases[i].code, __FILE__, __LINE__);
        assert_string_equal(r.field, "uncertainty[1]");
    }
}

static void a_bad_reading_is_named(void **state)
{
    (void)state;
    static const struct {
        double value;
        enum code code;
    } cases[] = {{(double)NAN, CODE_NUMBER_BAD},
                 {(double)INFINITY, CODE_NUMBER_BAD},
                 {-(double)INFINITY, CODE_NUMBER_BAD},
                 {300.001, CODE_FIELD_RANGE},
                 {-60.001, CODE_FIELD_RANGE}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double temp_c[6];
        memcpy(temp_c, temps_c, sizeof temp_c);
        temp_c[3] = cases[i].value;
        struct heat_log log = log_of_two_probes();
        log.temp_c = temp_c;
        struct result r = heat_log_check(&log);
        assert_code_at(r, cases[i].code, __FILE__, __LINE__);
        assert_string_equal(r.field, "points[1][2]");
    }
}

static void times_ascend(void **state)
{
    (void)state;
    struct heat_log log = log_of_two_probes();
    const int64_t back_ms[] = {0, 1000, 999};
    log.time_ms = back_ms;
    struct result r = heat_log_check(&log);
    assert_code(r, LOG_BACKWARDS);
    assert_string_equal(r.field, "points[2][0]");
    const int64_t same_ms[] = {0, 1000, 1000};
    log.time_ms = same_ms;
    r = heat_log_check(&log);
    assert_code(r, LOG_TWICE);
    assert_string_equal(r.field, "points[2][0]");
    const double same_c[] = {20, 21, 30, 31, 30, 31};
    log.temp_c = same_c;
    assert_ok(heat_log_check(&log));
    const int64_t far_ms[] = {0, 1000, HEAT_TIME_MAX_MS + 1};
    log.time_ms = far_ms;
    assert_code(heat_log_check(&log), FIELD_RANGE);
    const int64_t early_ms[] = {-HEAT_TIME_MAX_MS - 1, 0, 1};
    log.time_ms = early_ms;
    assert_code(heat_log_check(&log), FIELD_RANGE);
    const int64_t edge_ms[] = {-HEAT_TIME_MAX_MS, 0, HEAT_TIME_MAX_MS};
    log.time_ms = edge_ms;
    assert_ok(heat_log_check(&log));
}

static void whole_numbers_are_held_to_the_same(void **state)
{
    (void)state;
    static const int32_t temp_mc[] = {20000, 21000, 30000, 31000, 40000, 41250};
    struct heat_log_mc log = {.points = 3,
                              .probes = 2,
                              .time_ms = times_ms,
                              .temp_mc = temp_mc,
                              .uncertainty_mc = {250, 500}};
    assert_ok(heat_log_mc_check(&log));
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct heat_log read = heat_log_from_mc(&a, &log);
    assert_int_equal(read.points, 3);
    assert_near(read.temp_c[5], 41.25, 0);
    assert_near(read.uncertainty_c[1], 0.5, 0);
    assert_ptr_equal(read.time_ms, times_ms);
    arena_release(&a);

    static const int32_t edges_mc[] = {-60000, 300000, -60000, 300000, 0, 0};
    const int64_t twice_ms[] = {0, 0, 1000};
    log.temp_mc = edges_mc;
    log.time_ms = twice_ms;
    assert_ok(heat_log_mc_check(&log));
    log.time_ms = times_ms;

    static const int32_t hot_mc[] = {20000, 21000, 30000, 300001, 40000, 41250};
    log.temp_mc = hot_mc;
    struct result r = heat_log_mc_check(&log);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "points[1][2]");
    log.temp_mc = temp_mc;
    log.uncertainty_mc[0] = -1;
    assert_code(heat_log_mc_check(&log), FIELD_RANGE);
    log.uncertainty_mc[0] = 0;
    const int64_t same_ms[] = {0, 0, 1};
    log.time_ms = same_ms;
    assert_code(heat_log_mc_check(&log), LOG_TWICE);
    log.probes = 17;
    assert_code(heat_log_mc_check(&log), FIELD_RANGE);
}

static void the_usual_interval_is_the_middle_one(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    const int64_t time_ms[] = {0, 10, 20, 20, 30, 130, 131};
    assert_int_equal(heat_log_usual_ms(&a, time_ms, 7), 10);
    assert_int_equal(heat_log_usual_ms(&a, time_ms, 2), 10);
    assert_int_equal(heat_log_usual_ms(&a, time_ms + 4, 3), 1); /* the lower of two */
    assert_int_equal(heat_log_usual_ms(&a, time_ms + 2, 2), 0);
    assert_int_equal(heat_log_usual_ms(&a, time_ms, 1), 0);
    assert_int_equal(heat_log_usual_ms(&a, time_ms, 0), 0);
    assert_int_equal(heat_log_gap_max_ms(10), 20);
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sound_log_passes),
        cmocka_unit_test(probes_and_uncertainties_are_bounded),
        cmocka_unit_test(a_bad_reading_is_named),
        cmocka_unit_test(times_ascend),
        cmocka_unit_test(whole_numbers_are_held_to_the_same),
        cmocka_unit_test(the_usual_interval_is_the_middle_one),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
