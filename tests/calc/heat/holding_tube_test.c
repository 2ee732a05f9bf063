#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/holding_tube.h"

static void the_factor_steps_at_the_limits(void **state)
{
    (void)state;
    static const struct {
        double reynolds, factor;
    } cases[] = {{100, 2}, {3999, 2}, {4001, 1.33}, {12000, 1.29}, {20000, 1.25}, {1e6, 1.25}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        /* Area 1 and speed 1 make Re 1000 d / viscosity. */
        double d = sqrt(4 / M_PI);
        struct tube_flow flow = {.flow_m3_s = 1,
                                 .diameter_m = d,
                                 .density_kg_m3 = 1000,
                                 .viscosity_pa_s = 1000 * d / cases[i].reynolds};
        struct tube_report r;
        assert_ok(tube_judge(&flow, &r));
        assert_near(r.reynolds, cases[i].reynolds, 1e-12);
        assert_near(r.factor_guide, cases[i].factor, 1e-4);
        assert_true(r.factor >= r.factor_guide && r.factor >= r.factor_log_law);
        assert_int_equal(r.turbulent, cases[i].reynolds >= 4000);
        assert_near(tube_time_s(&r, tube_length_m(&r, 6, r.factor)), 6, 1e-12);
    }
}

static void the_bulk_is_never_below_the_fastest(void **state)
{
    (void)state;
    for (double ratio = 0.01; ratio < 900; ratio *= 3) {
        struct tube_kill r;
        assert_ok(tube_laminar_kill(ratio, 1, &r));
        assert_near(r.certified, ratio / 2, 1e-12);
        assert_true(r.bulk > r.certified && r.bulk < ratio);
    }
}

static void a_tube_that_means_nothing_is_named(void **state)
{
    (void)state;
    struct tube_report r;
    struct tube_kill k;
    struct tube_flow flow = {
        .flow_m3_s = 0, .diameter_m = 0.03, .density_kg_m3 = 1000, .viscosity_pa_s = 1e-3};
    struct result got = tube_judge(&flow, &r);
    assert_code(got, FIELD_RANGE);
    assert_string_equal(got.field, "flow_m3_s");
    flow.flow_m3_s = 1e-3;
    flow.viscosity_pa_s = (double)NAN;
    assert_code(tube_judge(&flow, &r), NUMBER_BAD);
    assert_code(tube_laminar_kill(0, 1, &k), FIELD_RANGE);
    assert_code(tube_laminar_kill(1001, 1, &k), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_factor_steps_at_the_limits),
        cmocka_unit_test(the_bulk_is_never_below_the_fastest),
        cmocka_unit_test(a_tube_that_means_nothing_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
