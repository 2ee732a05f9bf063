#include "plan/draw.h"
#include "support.h"

enum { DRAWS = 100000 };

typedef double drawing(struct draw *d);

/* Mean and variance over many futures, within five standard errors given the fourth moment. */
static void holds(const char *what, drawing *draw, double mean, double variance, double kurtosis)
{
    double sum = 0, squares = 0;
    for (int i = 0; i < DRAWS; i++) {
        struct draw d;
        draw_begin(&d, 3, (uint32_t)i, 9);
        double x = draw(&d);
        sum += x;
        squares += (x - mean) * (x - mean);
    }
    if (fabs(sum / DRAWS - mean) > 5 * sqrt(variance / DRAWS))
        fail_msg("%s: mean %g, not %g", what, sum / DRAWS, mean);
    if (fabs(squares / DRAWS - variance) > 5 * variance * sqrt((kurtosis - 1) / DRAWS) + 1e-12)
        fail_msg("%s: variance %g, not %g", what, squares / DRAWS, variance);
}

static double unit(struct draw *d)
{
    return draw_unit(d);
}

static double second_unit(struct draw *d)
{
    draw_unit(d);
    return draw_unit(d);
}

static double normal(struct draw *d)
{
    return draw_normal(d);
}

static double first_of_two(struct draw *d)
{
    double x[2];
    draw_normals(d, x);
    return x[0];
}

static double sum_of_two(struct draw *d)
{
    double x[2];
    draw_normals(d, x);
    return (x[0] + x[1]) / sqrt(2); /* of two that know nothing of each other: again normal */
}

static double lognormal(struct draw *d)
{
    return draw_lognormal(d, 0.3);
}

static double gamma_small(struct draw *d)
{
    return draw_gamma(d, 0.4);
}

static double gamma_large(struct draw *d)
{
    return draw_gamma(d, 25);
}

static double beta(struct draw *d)
{
    return draw_beta(d, 2, 6);
}

static double poisson_small(struct draw *d)
{
    return (double)draw_poisson(d, 1.7);
}

static double poisson_large(struct draw *d)
{
    return (double)draw_poisson(d, 36.5);
}

/* Moments of the distributions from their textbooks' formulas (derived). */
static void draws_have_their_moments(void **state)
{
    (void)state;
    holds("unit", unit, 0.5, 1 / 12.0, 1.8);
    holds("second unit", second_unit, 0.5, 1 / 12.0, 1.8);
    holds("normal", normal, 0, 1, 3);
    holds("first of two normals", first_of_two, 0, 1, 3);
    holds("sum of two normals", sum_of_two, 0, 1, 3);
    /* kurtosis of a log-normal, w = 1.09: w^4 + 2 w^3 + 3 w^2 - 3 */
    holds("log-normal", lognormal, 1, 0.09, pow(1.09, 4) + 2 * pow(1.09, 3) + 3 * 1.09 * 1.09 - 3);
    holds("gamma of 0.4", gamma_small, 0.4, 0.4, 3 + 6 / 0.4);
    holds("gamma of 25", gamma_large, 25, 25, 3 + 6 / 25.0);
    holds("beta", beta, 0.25, 2 * 6 / (64.0 * 9), 3.1091);
    holds("Poisson of 1.7", poisson_small, 1.7, 1.7, 3 + 1 / 1.7);
    holds("Poisson of 36.5", poisson_large, 36.5, 36.5, 3 + 1 / 36.5);
}

/* Both ways of drawing a Poisson, count by count (chi-square, 99.99 % quantile for up to 60 degrees
 * of freedom: 109, derived by the approximation of Wilson and Hilferty 1931). */
static void poisson_counts_come_as_often_as_they_should(void **state)
{
    (void)state;
    const double means[] = {0.3, 9.9, 10, 14.2, 40};
    for (size_t m = 0; m < sizeof means / sizeof means[0]; m++) {
        int seen[128] = {0};
        for (int i = 0; i < DRAWS; i++) {
            struct draw d;
            draw_begin(&d, 4, (uint32_t)i, 1);
            int64_t k = draw_poisson(&d, means[m]);
            assert_in_range(k, 0, 127);
            seen[k]++;
        }
        double chi = 0;
        for (int k = 0; k < 128; k++) {
            double wanted = DRAWS * exp(k * log(means[m]) - means[m] - lgamma(k + 1));
            if (wanted >= 5) chi += (seen[k] - wanted) * (seen[k] - wanted) / wanted;
        }
        if (chi > 109) fail_msg("Poisson of %g: chi-square %g", means[m], chi);
    }
}

static void a_thing_keeps_its_luck(void **state)
{
    (void)state;
    struct draw d, e;
    draw_begin(&d, 1, 5, draw_name("lot-a"));
    double first = draw_unit(&d), second = draw_unit(&d);
    draw_begin(&e, 1, 5, draw_name("lot-b"));
    assert_true(draw_unit(&e) != first);
    draw_begin(&e, 2, 5, draw_name("lot-a"));
    assert_true(draw_unit(&e) != first);
    draw_begin(&e, 1, 6, draw_name("lot-a"));
    assert_true(draw_unit(&e) != first);
    draw_begin(&e, 1, 5, draw_name("lot-a"));
    assert_true(draw_unit(&e) == first);
    assert_true(draw_unit(&e) == second);
    assert_true(draw_thing(1, 2, 3, 4) != draw_thing(1, 2, 4, 3));
    assert_true(draw_thing(1, -1, 0, 0) != draw_thing(1, 1, 0, 0));
}

static void pieces_without_spread_are_as_said(void **state)
{
    (void)state;
    struct draw d;
    draw_begin(&d, 1, 1, 1);
    assert_int_equal(draw_pieces(&d, 12.4, 0), 12);
    assert_int_equal(draw_pieces(&d, 0, 5), 0);
    assert_int_equal(draw_poisson(&d, 0), 0);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(draws_have_their_moments),
        cmocka_unit_test(poisson_counts_come_as_often_as_they_should),
        cmocka_unit_test(a_thing_keeps_its_luck),
        cmocka_unit_test(pieces_without_spread_are_as_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
