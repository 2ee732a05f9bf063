#include "../support.h"

#include "calc/root.h"
#include "near.h"

static double cubic(double x, const void *with)
{
    return x * x * x - *(const double *)with;
}

static double steep(double x, const void *with)
{
    return expm1(x * 200) - *(const double *)with;
}

static double flat(double x, const void *with)
{
    return pow(x - *(const double *)with, 9);
}

static double step(double x, const void *with)
{
    return x < *(const double *)with ? -1 : 1;
}

static void it_finds_zeros_of_many_sizes(void **state)
{
    (void)state;
    for (double wanted = 1e-30; wanted < 1e30; wanted *= 1e5) {
        assert_near(root_between(cubic, &wanted, 0, 1e12), cbrt(wanted), 4e-16);
        assert_near(root_between(cubic, &wanted, 1e12, 0), cbrt(wanted), 4e-16);
        assert_near(root_between(steep, &wanted, 0, 1), log1p(wanted) / 200, 1e-14);
    }
}

static void an_end_may_be_the_zero(void **state)
{
    (void)state;
    double wanted = 8;
    assert_near(root_between(cubic, &wanted, 2, 5), 2, 0);
    assert_near(root_between(cubic, &wanted, -1, 2), 2, 0);
    wanted = 0;
    assert_near(root_between(cubic, &wanted, -1, 3), 0, 0);
}

static void flat_and_broken_functions_end(void **state)
{
    (void)state;
    double wanted = 0.3;
    assert_near(root_between(flat, &wanted, -2, 1), 0.3, 1e-12);
    assert_near(root_between(step, &wanted, -2, 1), 0.3, 1e-15);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_finds_zeros_of_many_sizes),
        cmocka_unit_test(an_end_may_be_the_zero),
        cmocka_unit_test(flat_and_broken_functions_end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
