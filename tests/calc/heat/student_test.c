#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/distribution.h"
#include "calc/heat/student.h"

/* Two-sided 95 % points of Student's t, as any table has them (from memory). */
static void the_table_comes_out(void **state)
{
    (void)state;
    static const struct {
        size_t df;
        double t;
    } rows[] = {{1, 12.706}, {2, 4.303},  {3, 3.182},  {4, 2.776},
                {10, 2.228}, {30, 2.042}, {120, 1.980}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_true(fabs(student_quantile(0.975, rows[i].df) - rows[i].t) <= 0.0005);
    }
}

static void one_and_two_degrees_have_closed_forms(void **state)
{
    (void)state;
    for (double t = -20; t < 20; t += 0.7) {
        assert_near(student_cdf(t, 1), 0.5 + atan(t) / M_PI, 1e-13);
        assert_near(student_cdf(t, 2), 0.5 + t / (2 * sqrt(2 + t * t)), 1e-13);
    }
}

static void the_quantile_undoes_the_distribution(void **state)
{
    (void)state;
    for (size_t df = 1; df < 300; df += 7) {
        for (double p = 0.5; p < 0.999; p += 0.07) {
            assert_near(student_cdf(student_quantile(p, df), df), p, 1e-12);
        }
    }
    assert_true(student_quantile(0.5, 5) < 1e-15);
    assert_near(normal_quantile(0.975), 1.959963984540054, 1e-12);
    assert_near(student_quantile(0.95, 20001), normal_quantile(0.95), 1e-4);
}

static void a_tolerance_factor_falls_towards_the_normal_point(void **state)
{
    (void)state;
    double last = INFINITY;
    for (size_t n = 2; n < 2000; n *= 3) {
        double k = tolerance_factor(n, 0.95, 0.95);
        assert_true(k < last && k > normal_quantile(0.95));
        last = k;
    }
    /* Two values: the noncentral t with one degree (classical tables, from memory: 26.260). */
    assert_true(fabs(tolerance_factor(2, 0.95, 0.95) - 26.260) < 0.001);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_table_comes_out),
        cmocka_unit_test(one_and_two_degrees_have_closed_forms),
        cmocka_unit_test(the_quantile_undoes_the_distribution),
        cmocka_unit_test(a_tolerance_factor_falls_towards_the_normal_point),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
