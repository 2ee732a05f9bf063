#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/sensor.h"

static void each_part_alone_counts_as_its_distribution_says(void **state)
{
    (void)state;
    double u;
    struct sensor_doubt certificate = {.certificate_c = 0.3};
    assert_ok(sensor_uncertainty(&certificate, &u));
    assert_near(u, 0.3, 1e-15);
    struct sensor_doubt drift = {.drift_c = 0.3};
    assert_ok(sensor_uncertainty(&drift, &u));
    assert_near(u, 2 * 0.3 / sqrt(3), 1e-15);
    struct sensor_doubt step = {.resolution_c = 0.3};
    assert_ok(sensor_uncertainty(&step, &u));
    assert_near(u, 0.3 / sqrt(3), 1e-15);
}

static void parts_that_mean_nothing_are_named(void **state)
{
    (void)state;
    double u = 1;
    struct sensor_doubt doubt = {.certificate_c = 0.1, .drift_c = (double)NAN};
    struct result r = sensor_uncertainty(&doubt, &u);
    assert_code(r, NUMBER_BAD);
    assert_string_equal(r.field, "drift_c");
    assert_near(u, 0, 0);
    doubt = (struct sensor_doubt){.resolution_c = 21};
    r = sensor_uncertainty(&doubt, &u);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "resolution_c");
}

static void a_probe_that_gets_no_nearer_has_no_lag(void **state)
{
    (void)state;
    double lag_s;
    assert_ok(sensor_lag(10, 27.182818284590452, 10, &lag_s));
    assert_near(lag_s, 10, 1e-14);
    assert_code(sensor_lag(10, 5, 5, &lag_s), FIELD_RANGE);
    assert_code(sensor_lag(10, 5, 6, &lag_s), FIELD_RANGE);
    assert_code(sensor_lag(0, 5, 1, &lag_s), FIELD_RANGE);
    assert_code(sensor_lag(10, 5, 0, &lag_s), FIELD_RANGE);
}

static void no_error_no_factor(void **state)
{
    (void)state;
    struct reading_error none = {0};
    struct reading_factors r;
    assert_ok(reading_factors(7, 0, &none, &r));
    assert_near(r.shift, 1, 0);
    assert_near(r.noise, 1, 0);
    assert_near(r.lag, 1, 0);
    assert_near(r.z_sensitivity, 0, 0);
    struct reading_error error = {.shift_c = 7};
    assert_ok(reading_factors(7, 0, &error, &r));
    assert_near(r.shift, 10, 1e-14);
    assert_code(reading_factors(0, 0, &none, &r), FIELD_RANGE);
    assert_code(reading_factors(1e-3, 0, &error, &r), CALC_OVERFLOW);
    error = (struct reading_error){.noise_c = -1};
    assert_code(reading_factors(7, 0, &error, &r), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_part_alone_counts_as_its_distribution_says),
        cmocka_unit_test(parts_that_mean_nothing_are_named),
        cmocka_unit_test(a_probe_that_gets_no_nearer_has_no_lag),
        cmocka_unit_test(no_error_no_factor),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
