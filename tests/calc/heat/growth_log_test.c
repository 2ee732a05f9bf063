#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/growth_log.h"

enum { DAY_MS = 86400000 };

static struct growth_report grown(const struct heat_log *log, int64_t gap_max_ms)
{
    struct growth_report r;
    struct root_growth root = root_growth_listeria(0.2);
    struct cardinal_growth cardinal = cardinal_growth_listeria(10);
    assert_ok(growth_over_log(log, gap_max_ms, &root, &cardinal, &r));
    return r;
}

static void a_steady_log_is_rate_times_days(void **state)
{
    (void)state;
    static const int64_t time_ms[] = {0, DAY_MS, 2 * DAY_MS};
    static const double temp_c[] = {7, 7, 7};
    struct heat_log log = {.points = 3, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct growth_report r = grown(&log, DAY_MS);
    struct root_growth root = root_growth_listeria(0.2);
    struct cardinal_growth cardinal = cardinal_growth_listeria(10);
    assert_near(r.root_log, 2 * root_rate(&root, 7), 1e-15);
    assert_near(r.cardinal_log, 2 * cardinal_rate(&cardinal, 7), 1e-14);
    assert_near(r.above_h, 0, 0);
    log.uncertainty_c[0] = 1;
    assert_near(grown(&log, DAY_MS).root_log, 2 * root_rate(&root, 8), 1e-15);
}

/* A log cut into many pieces of the same line gives the same. */
static void points_on_a_line_change_nothing(void **state)
{
    (void)state;
    static const int64_t ends_ms[] = {0, DAY_MS};
    static const double ends_c[] = {-10, 50};
    enum { MANY = 601 };
    int64_t time_ms[MANY];
    double temp_c[MANY];
    for (int i = 0; i < MANY; i++) {
        time_ms[i] = i * (DAY_MS / (MANY - 1));
        temp_c[i] = -10 + 60.0 * i / (MANY - 1);
    }
    struct heat_log two = {.points = 2, .probes = 1, .time_ms = ends_ms, .temp_c = ends_c};
    struct heat_log many = {.points = MANY, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct growth_report a = grown(&two, DAY_MS);
    struct growth_report b = grown(&many, DAY_MS);
    assert_near(a.root_log, b.root_log, 1e-12);
    assert_near(a.cardinal_log, b.cardinal_log, 1e-9);
    assert_near(a.above_h, 10, 1e-12);
    assert_near(b.above_h, 10, 1e-12);
    assert_near(a.warmest_c, 50, 0);
}

static void a_silence_is_as_warm_as_its_warmer_end(void **state)
{
    (void)state;
    static const int64_t time_ms[] = {0, DAY_MS};
    static const double temp_c[] = {2, 9};
    struct root_growth root = root_growth_listeria(0.2);
    struct heat_log log = {.points = 2, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct growth_report r = grown(&log, DAY_MS - 1);
    assert_int_equal(r.gaps, 1);
    assert_near(r.root_log, root_rate(&root, 9), 1e-15);
    assert_true(grown(&log, DAY_MS).root_log < r.root_log);
    assert_int_equal(grown(&log, DAY_MS).gaps, 0);
}

static void one_reading_is_no_time(void **state)
{
    (void)state;
    static const int64_t time_ms[] = {5};
    static const double temp_c[] = {30};
    struct heat_log log = {.points = 1, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct growth_report r = grown(&log, DAY_MS);
    assert_near(r.root_log, 0, 0);
    assert_near(r.warmest_c, 30, 0);
    log.points = 0;
    assert_near(grown(&log, DAY_MS).root_log, 0, 0);
}

static void what_means_nothing_is_refused(void **state)
{
    (void)state;
    static const int64_t time_ms[] = {5, 4};
    static const double temp_c[] = {3, (double)NAN};
    struct heat_log log = {.points = 2, .probes = 1, .time_ms = time_ms, .temp_c = temp_c};
    struct growth_report r;
    struct root_growth root = root_growth_listeria(0.2);
    struct cardinal_growth cardinal = cardinal_growth_listeria(10);
    assert_code(growth_over_log(&log, 1, &root, &cardinal, &r), NUMBER_BAD);
    assert_string_equal(growth_over_log(&log, 0, &root, &cardinal, &r).field, "gap_max_ms");
    root.egr5_log_d = 101;
    assert_string_equal(growth_over_log(&log, 1, &root, &cardinal, &r).field, "egr5_log_d");
    assert_near(r.root_log, 0, 0);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_steady_log_is_rate_times_days),
        cmocka_unit_test(points_on_a_line_change_nothing),
        cmocka_unit_test(a_silence_is_as_warm_as_its_warmer_end),
        cmocka_unit_test(one_reading_is_no_time),
        cmocka_unit_test(what_means_nothing_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
