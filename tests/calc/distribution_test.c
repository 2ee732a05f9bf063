#include "../support.h"

#include "calc/distribution.h"
#include "near.h"

/* Sums written out; computed here. */
static void small_cases_by_hand(void **state)
{
    (void)state;
    assert_near(binomial_at_most(0, 3, 0.1), 0.729, 1e-12);
    assert_near(binomial_at_most(1, 3, 0.1), 0.972, 1e-12);
    /* Two of ten marked, three drawn: none 56/120, one 56/120. */
    assert_near(hypergeometric_at_most(0, 3, 2, 10), 56.0 / 120, 1e-12);
    assert_near(hypergeometric_at_most(1, 3, 2, 10), 112.0 / 120, 1e-12);
    assert_near(poisson_at_most(1, 2), 3 * exp(-2), 1e-12);
    assert_near(poisson_at_least(2, 2), 1 - 3 * exp(-2), 1e-12);
    assert_near(exp(ln_choose(10, 3)), 120, 1e-12);
    assert_near(exp(ln_factorial(5)), 120, 1e-12);
    assert_near(normal_below(0), 0.5, 1e-15);
    assert_near(normal_quantile(normal_below(-7.5)), -7.5, 1e-12);
}

static void ends_are_certain(void **state)
{
    (void)state;
    assert_near(binomial_at_most(5, 5, 0.9), 1, 0);
    assert_near(binomial_at_most(0, 5, 0), 1, 0);
    assert_near(binomial_at_most(4, 5, 1), 0, 0);
    assert_near(binomial_at_most(0, 0, 0.5), 1, 0);
    assert_near(hypergeometric_at_most(3, 3, 9, 9), 1, 0);
    assert_near(hypergeometric_at_most(2, 3, 9, 9), 0, 0);
    assert_near(hypergeometric_at_most(0, 0, 9, 9), 1, 0);
    assert_near(poisson_at_most(0, 0), 1, 0);
    assert_near(poisson_at_least(0, 0), 1, 0);
    assert_near(poisson_at_least(1, 0), 0, 0);
    assert_near(normal_below(-1e9), 0, 0);
    assert_near(normal_below(1e9), 1, 0);
    assert_near(poisson_at_most(3, 1e9), 0, 0);
}

static void limits_leave_out_their_tail(void **state)
{
    (void)state;
    for (int64_t of = 1; of <= DISTRIBUTION_OF_MAX; of = of * 10 + of % 7) {
        for (int64_t counted = 0; counted <= of; counted += 1 + of / 9) {
            double low = share_low(counted, of, 0.025), high = share_high(counted, of, 0.025);
            assert_true(low >= 0 && low <= (double)counted / (double)of);
            assert_true(high <= 1 && high >= (double)counted / (double)of);
            if (counted > 0) {
                assert_near(1 - binomial_at_most(counted - 1, of, low), 0.025, 1e-8);
            }
            if (counted < of) {
                assert_near(binomial_at_most(counted, of, high), 0.025, 1e-8);
            }
        }
    }
    for (int64_t count = 0; count <= DISTRIBUTION_COUNT_MAX; count = count * 9 + 1) {
        double low = poisson_low(count, 0.05), high = poisson_high(count, 0.05);
        assert_true(low <= (double)count && high > (double)count);
        if (count > 0) {
            assert_near(poisson_at_least(count, low), 0.05, 1e-5);
        }
        assert_near(poisson_at_most(count, high), 0.05, 1e-5);
    }
    assert_near(share_low(0, 9, 0.1), 0, 0);
    assert_near(share_high(9, 9, 0.1), 1, 0);
    /* of very many it is the limit of a Poisson mean */
    assert_near(share_low(3, 10000000, 0.025) * 1e7, poisson_low(3, 0.025), 1e-6);
    assert_near(share_high(3, 10000000, 0.025) * 1e7, poisson_high(3, 0.025), 1e-5);
    /* With none counted, (1 - p)^n and exp(-mean) are the tail. */
    assert_near(share_high(0, 9, 0.1), 1 - pow(0.1, 1.0 / 9), 1e-12);
    assert_near(poisson_high(0, 0.1), log(10), 1e-12);
}

/* Two-sided 95 % points of Student's t, as any table has them (from memory). */
static void the_table_of_students_t_comes_out(void **state)
{
    (void)state;
    static const struct {
        int64_t df;
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
        assert_near(student_below(t, 1), 0.5 + atan(t) / M_PI, 1e-13);
        assert_near(student_below(t, 2), 0.5 + t / (2 * sqrt(2 + t * t)), 1e-13);
    }
}

static void the_quantile_of_t_undoes_it(void **state)
{
    (void)state;
    for (int64_t df = 1; df < 300; df += 7) {
        for (double p = 0.5; p < 0.999; p += 0.07) {
            assert_near(student_below(student_quantile(p, df), df), p, 1e-12);
        }
    }
    assert_true(student_quantile(0.5, 5) < 1e-15);
    assert_near(normal_quantile(0.975), 1.959963984540054, 1e-12);
    assert_near(student_quantile(0.95, 20001), normal_quantile(0.95), 1e-4);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_table_of_students_t_comes_out),
        cmocka_unit_test(one_and_two_degrees_have_closed_forms),
        cmocka_unit_test(the_quantile_of_t_undoes_it),
        cmocka_unit_test(small_cases_by_hand),
        cmocka_unit_test(ends_are_certain),
        cmocka_unit_test(limits_leave_out_their_tail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
