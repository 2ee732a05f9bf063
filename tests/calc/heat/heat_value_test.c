#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/heat_value.h"

static void every_set_can_be_found(void **state)
{
    (void)state;
    for (size_t i = 0; i < heat_value_set_count(); i++) {
        const struct heat_value_set *set = heat_value_set_at(i);
        assert_ptr_equal(heat_value_set_find(set->name), set);
        assert_true(set->z_c > 0 && set->reference_c > 0);
    }
    assert_null(heat_value_set_find("tea"));
    /* Del Vecchio 1951 (published (seen)): one degree is worth a factor of 1.393. */
    assert_near(pow(10, 1 / heat_value_set_find("beer")->z_c), 1.393, 1e-14);
}

static const int64_t times_ms[] = {0, 60000, 300000};
static const double temps_c[] = {100, 90, 90, 100, 67, 67};

static void the_hottest_reading_counts(void **state)
{
    (void)state;
    struct heat_log log = {.points = 2, .probes = 2, .time_ms = times_ms, .temp_c = temps_c};
    struct cook_value r;
    assert_ok(cook_value(&log, 100, 33, 3600000, &r));
    assert_near(r.best_min, 1, 1e-14);
    assert_near(r.upper_min, 1, 1e-14);
    log.uncertainty_c[1] = 33;
    assert_code(cook_value(&log, 100, 33, 3600000, &r), FIELD_RANGE);
    log.uncertainty_c[1] = 15;
    assert_ok(cook_value(&log, 100, 33, 3600000, &r));
    assert_true(r.upper_min > r.best_min);
}

static void silence_is_as_hot_as_its_hotter_end(void **state)
{
    (void)state;
    struct heat_log log = {.points = 3, .probes = 2, .time_ms = times_ms, .temp_c = temps_c};
    struct cook_value r;
    assert_ok(cook_value(&log, 100, 33, 100000, &r));
    assert_near(r.upper_min, 5, 1e-14);
    assert_true(r.best_min < r.upper_min);
    assert_int_equal(r.gaps, 1);
}

static void no_data_is_nothing(void **state)
{
    (void)state;
    struct heat_log log = {.points = 1, .probes = 1, .time_ms = times_ms, .temp_c = temps_c};
    struct cook_value r;
    assert_ok(cook_value(&log, 100, 33, 1000, &r));
    assert_near(r.upper_min, 0, 0);
    assert_code(cook_value(&log, 100, 0, 1000, &r), FIELD_RANGE);
    assert_code(cook_value(&log, 100, 33, 0, &r), FIELD_RANGE);
    log.points = 2;
    assert_code(cook_value(&log, -60, 0.1, 100000, &r), CALC_OVERFLOW);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_set_can_be_found),
        cmocka_unit_test(the_hottest_reading_counts),
        cmocka_unit_test(silence_is_as_hot_as_its_hotter_end),
        cmocka_unit_test(no_data_is_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
