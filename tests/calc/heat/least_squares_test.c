#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/least_squares.h"

static double parabola(const double *p, double x)
{
    return p[0] + p[1] * x + p[2] * x * x;
}

static double power(const double *p, double x)
{
    return p[0] * pow(x, p[1]);
}

static double twice_the_same(const double *p, double x)
{
    return (p[0] + p[1]) * x;
}

#define FREE                                      \
    {-INFINITY, -INFINITY, -INFINITY, -INFINITY}, \
    {                                             \
        INFINITY, INFINITY, INFINITY, INFINITY    \
    }

/* NIST StRD DanWood, certified (published (seen)), from both of its starts. */
static void the_certified_fit_comes_out_from_both_starts(void **state)
{
    (void)state;
    static const double x[] = {1.309, 1.471, 1.490, 1.565, 1.611, 1.680};
    static const double y[] = {2.138, 3.421, 3.597, 4.340, 4.882, 5.660};
    static const double starts[][2] = {{0.7, 4}, {1, 5}};
    const struct least_squares_model model = {2, power, FREE};
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    for (size_t i = 0; i < 2; i++) {
        struct least_squares_fit fit;
        least_squares(&a, &model, x, y, 6, starts[i], &fit);
        assert_true(fit.converged);
        assert_near(fit.param[0], 0.76886226176, 1e-8);
        assert_near(fit.param[1], 3.8604055871, 1e-8);
        assert_near(fit.se[0], 0.018281973860, 1e-8);
        assert_near(fit.se[1], 0.051726610913, 1e-8);
        assert_near(fit.rss, 4.3173084083e-3, 1e-8);
    }
    arena_release(&a);
}

static void a_linear_model_is_found_at_once(void **state)
{
    (void)state;
    static const double x[] = {0, 1, 2, 3, 4};
    static const double y[] = {1, 6, 15, 28, 45};
    static const double start[] = {0, 0, 0};
    const struct least_squares_model model = {3, parabola, FREE};
    struct least_squares_fit fit;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    least_squares(&a, &model, x, y, 5, start, &fit);
    assert_near(fit.param[0], 1, 1e-8);
    assert_near(fit.param[1], 3, 1e-8);
    assert_near(fit.param[2], 2, 1e-8);
    assert_true(fit.iterations < 20);
    arena_release(&a);
}

static void bounds_hold(void **state)
{
    (void)state;
    static const double x[] = {0, 1, 2, 3};
    static const double y[] = {1, 2, 5, 10};
    static const double start[] = {0, 0.5, 0.5};
    const struct least_squares_model model = {
        3, parabola, {-INFINITY, 0.25, 0}, {INFINITY, INFINITY, 0.75}};
    struct least_squares_fit fit;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    least_squares(&a, &model, x, y, 4, start, &fit);
    assert_true(fit.param[1] >= 0.25 && fit.param[2] <= 0.75);
    arena_release(&a);
}

static void what_the_points_do_not_tell_has_no_error(void **state)
{
    (void)state;
    static const double x[] = {1, 2, 3};
    static const double y[] = {2, 4.1, 5.9};
    static const double start[] = {0.5, 0.5};
    const struct least_squares_model model = {2, twice_the_same, FREE};
    struct least_squares_fit fit;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    least_squares(&a, &model, x, y, 3, start, &fit);
    assert_true(isinf(fit.se[0]) && isinf(fit.se[1]));
    assert_near(fit.param[0] + fit.param[1], 1.9928571428571429, 1e-8);
    least_squares(&a, &model, x, y, 2, start, &fit);
    assert_near(fit.s, 0, 0);
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_certified_fit_comes_out_from_both_starts),
        cmocka_unit_test(a_linear_model_is_found_at_once),
        cmocka_unit_test(bounds_hold),
        cmocka_unit_test(what_the_points_do_not_tell_has_no_error),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
