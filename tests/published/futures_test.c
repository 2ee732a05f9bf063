/* Figures from the outside world for planning under chance: the negative binomial, what to have
 * against uncertain demand, the beta-binomial. */
#include "../support.h"

#include <math.h>

#include "plan/draw.h"
#include "plan/safety.h"

enum { DRAWS = 200000 };

struct moments {
    double mean, variance;
    double first[40]; /* share of draws at 0, 1, 2 ... */
};

static struct moments pieces_drawn(double mean, double spread)
{
    struct moments m = {0};
    double sum = 0, squares = 0;
    for (int i = 0; i < DRAWS; i++) {
        struct draw d;
        draw_begin(&d, 11, (uint32_t)i, 1);
        int64_t n = draw_pieces(&d, mean, spread);
        sum += (double)n;
        squares += (double)n * (double)n;
        if (n < 40) {
            m.first[n] += 1.0 / DRAWS;
        }
    }
    m.mean = sum / DRAWS;
    m.variance = squares / DRAWS - m.mean * m.mean;
    return m;
}

/* R, stats, NegBinomial: density Gamma(x + n) / (Gamma(n) x!) p^n (1 - p)^x, mean n (1 - p) / p,
 * variance n (1 - p) / p^2; a Poisson of gamma means gives it - published (seen). */
static void pieces_are_a_negative_binomial(void **state)
{
    (void)state;
    const double cases[][2] = {{3, 0.25}, {0.7, 0.1}, {40, 0.5}, {2.5, 0.01}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double n = cases[i][0], p = cases[i][1];
        double mean = n * (1 - p) / p, variance = n * (1 - p) / (p * p);
        struct moments m = pieces_drawn(mean, sqrt(variance));
        /* five standard errors; the fourth moment of a negative binomial from its excess kurtosis
         * 6 / n + p^2 / (1 - p) / n (derived) */
        double kurtosis = 3 + 6 / n + p * p / ((1 - p) * n);
        if (fabs(m.mean - mean) > 5 * sqrt(variance / DRAWS) ||
            fabs(m.variance - variance) > 5 * variance * sqrt((kurtosis - 1) / DRAWS)) {
            fail_msg("n %g, p %g: mean %g, not %g; variance %g, not %g (R, stats, NegBinomial)", n,
                     p, m.mean, mean, m.variance, variance);
        }
        for (int x = 0; x < 40; x++) {
            double wanted =
                exp(lgamma(x + n) - lgamma(n) - lgamma(x + 1) + n * log(p) + x * log1p(-p));
            if (fabs(m.first[x] - wanted) > 5 * sqrt(wanted * (1 - wanted) / DRAWS) + 1e-5) {
                fail_msg("n %g, p %g: %d comes %g of times, not %g (R, stats, NegBinomial)", n, p,
                         x, m.first[x], wanted);
            }
        }
    }
}

/* Cachon, Terwiesch, Matching Supply with Demand, 3rd edition, solution of question 12.1 d: demand
 * normal with mean 200 and deviation 80; a unit too few costs 8, one too many 4; ratio 0.6667, z
 * from their table, rounded up, 0.44; quantity 235.2 - published (seen). Their table's step of 0.01
 * in z is 0.8 units. */
static void a_newsvendor_has_what_the_ratio_says(void **state)
{
    (void)state;
    double ratio = safety_critical_ratio(8, 4);
    double quantity = safety_quantity(200, 80, ratio);
    if (fabs(ratio - 0.6667) > 5e-5 || quantity > 235.2 || quantity < 235.2 - 0.8) {
        fail_msg("ratio %.4f, quantity %.2f, not 0.6667 and 235.2 (Cachon and Terwiesch, 12.1 d)",
                 ratio, quantity);
    }
}

/* The Book of Statistical Proofs, betabin-mome: of n trials with a beta chance, the mean count is n
 * a / (a + b) and the mean square n a (n a + n + b) / ((a + b) (a + b + 1)) - published (seen), its
 * page prints the second factor of the divisor as n a + b + 1, which its own solution does not use
 * (derived: n = 1 must give a / (a + b)). */
static void barred_batches_are_a_beta_binomial(void **state)
{
    (void)state;
    const double a = 1.5, b = 24.5;
    enum { TRIALS = 12 };
    double sum = 0, squares = 0;
    for (int i = 0; i < DRAWS; i++) {
        struct draw d;
        draw_begin(&d, 5, (uint32_t)i, 2);
        double chance = draw_beta(&d, a, b);
        int count = 0;
        for (int t = 0; t < TRIALS; t++) {
            count += draw_unit(&d) < chance;
        }
        sum += count;
        squares += (double)count * count;
    }
    double mean = TRIALS * a / (a + b);
    double square = TRIALS * a * (TRIALS * a + TRIALS + b) / ((a + b) * (a + b + 1));
    /* five standard errors, that of the square bounded by its own deviation of at most 4 (computed
     * here from the draws) */
    if (fabs(sum / DRAWS - mean) > 5 * sqrt((square - mean * mean) / DRAWS) ||
        fabs(squares / DRAWS - square) > 5 * 5.0 / sqrt(DRAWS)) {
        fail_msg("mean %g, not %g; square %g, not %g (Book of Statistical Proofs, betabin-mome)",
                 sum / DRAWS, mean, squares / DRAWS, square);
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pieces_are_a_negative_binomial),
        cmocka_unit_test(a_newsvendor_has_what_the_ratio_says),
        cmocka_unit_test(barred_batches_are_a_beta_binomial),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
