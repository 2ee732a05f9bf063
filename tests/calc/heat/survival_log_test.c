#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/survival.h"
#include "calc/heat/survival_log.h"

static const int64_t time_ms[] = {0, 60000, 120000, 180000};
static const double temp_c[] = {100, 102, 110, 108, 112, 111, 90, 95};

static void the_safe_dose_leaves_out_cooling_and_doubt(void **state)
{
    (void)state;
    struct heat_log log = {.points = 4, .probes = 2, .time_ms = time_ms, .temp_c = temp_c};
    struct survival_peleg_log r;
    assert_ok(survival_peleg_log(&log, 0.3, 102.3, 1, 100000, &r));
    double come_up = survival_peleg_dose(0.3, 102.3, 1, 1, 100, 108) +
                     survival_peleg_dose(0.3, 102.3, 1, 1, 108, 111);
    assert_near(r.safe, come_up, 1e-12);
    assert_near(r.best, come_up + survival_peleg_dose(0.3, 102.3, 1, 1, 111, 90), 1e-12);
    log.uncertainty_c[0] = log.uncertainty_c[1] = 0.5;
    assert_ok(survival_peleg_log(&log, 0.3, 102.3, 1, 100000, &r));
    assert_true(r.safe < come_up);
}

static void silence_is_worth_nothing(void **state)
{
    (void)state;
    struct heat_log log = {.points = 4, .probes = 2, .time_ms = time_ms, .temp_c = temp_c};
    struct survival_peleg_log r;
    assert_ok(survival_peleg_log(&log, 0.3, 102.3, 1, 30000, &r));
    assert_near(r.best, 0, 0);
    assert_int_equal(r.gaps, 3);
    log.points = 0;
    assert_ok(survival_peleg_log(&log, 0.3, 102.3, 1, 30000, &r));
    assert_near(r.best, 0, 0);
}

static void constants_that_mean_nothing_are_named(void **state)
{
    (void)state;
    struct heat_log log = {.points = 4, .probes = 2, .time_ms = time_ms, .temp_c = temp_c};
    struct survival_peleg_log r;
    assert_code(survival_peleg_log(&log, 0, 102.3, 1, 1, &r), FIELD_RANGE);
    assert_code(survival_peleg_log(&log, 0.3, (double)NAN, 1, 1, &r), NUMBER_BAD);
    assert_code(survival_peleg_log(&log, 0.3, 102.3, 0, 1, &r), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_safe_dose_leaves_out_cooling_and_doubt),
        cmocka_unit_test(silence_is_worth_nothing),
        cmocka_unit_test(constants_that_mean_nothing_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
