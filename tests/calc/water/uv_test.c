#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/water/uv.h"

static void the_factor_takes_off_the_dose(void **state)
{
    (void)state;
    double log = 0;
    assert_ok(uv_credit(UV_GIARDIA, 22, 1, &log));
    assert_near(log, 4, 0);
    assert_ok(uv_credit(UV_GIARDIA, 22, 1.001, &log));
    assert_near(log, 3.5, 0);
    assert_ok(uv_credit(UV_VIRUS, 0, 1, &log));
    assert_near(log, 0, 0);
    assert_ok(uv_credit(UV_VIRUS, 1e5, 1, &log));
    assert_near(log, 4, 0);
}

static void clear_or_shallow_water_leaves_all(void **state)
{
    (void)state;
    struct uv_water r;
    assert_ok(uv_water(100, 10, &r));
    assert_near(r.factor, 1, 0);
    assert_ok(uv_water(50, 0, &r));
    assert_near(r.factor, 1, 0);
    assert_ok(uv_water(50, 1e-9, &r));
    assert_near(r.factor, 1, 1e-9);
    assert_near(r.absorbance_per_cm * log(10), r.a_per_cm, 1e-15);
    assert_ok(uv_water(0.01, 1000, &r));
    assert_near(r.factor * r.a_per_cm * 1000, 1, 1e-12);
}

static void what_means_nothing_is_refused(void **state)
{
    (void)state;
    struct uv_water r;
    double log = 1;
    assert_string_equal(uv_water(0, 1, &r).field, "uvt_pct");
    assert_string_equal(uv_water(50, -1, &r).field, "depth_cm");
    assert_code(uv_water((double)NAN, 1, &r), NUMBER_BAD);
    assert_string_equal(uv_credit(UV_VIRUS, 10, 0.9, &log).field, "validation_factor");
    assert_near(log, 0, 0);
    assert_code(uv_credit(UV_VIRUS, (double)INFINITY, 1, &log), NUMBER_BAD);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_factor_takes_off_the_dose),
        cmocka_unit_test(clear_or_shallow_water_leaves_all),
        cmocka_unit_test(what_means_nothing_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
