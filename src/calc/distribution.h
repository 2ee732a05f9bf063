/* The distributions that statistics in a plant come down to, and their limits.
 *
 * Probabilities are those of the GNU Scientific Library; limits are found by bracketing on them,
 * since its inverse functions lose their way at large counts. Every function is defined in the
 * whole range said beside it (CHECK), and gives a finite number there. */
#ifndef CALC_DISTRIBUTION_H
#define CALC_DISTRIBUTION_H

#include <stdint.h>

#define DISTRIBUTION_OF_MAX 100000
#define DISTRIBUTION_COUNT_MAX 1000000000

/* Standard normal: the share below z, and the z below which a share lies (0 < share < 1). */
double normal_below(double z);
double normal_quantile(double share);

/* Student's t of df degrees of freedom, 1 or more: the share below t, and the t below which a share
 * of 0.5 or more and less than 1 lies. */
double student_below(double t, int64_t df);
double student_quantile(double share, int64_t df);

/* P(at most c of n), each with chance p. 0 <= c, 0 <= n <= DISTRIBUTION_OF_MAX, 0 <= p <= 1. */
double binomial_at_most(int64_t c, int64_t n, double p);
/* P(at most c of n drawn from a lot of lot pieces of which marked are marked).
 * 0 <= marked <= lot, 0 <= n <= lot <= DISTRIBUTION_OF_MAX. */
double hypergeometric_at_most(int64_t c, int64_t n, int64_t marked, int64_t lot);
/* P(at most c), P(at least c). mean >= 0, 0 <= c <= DISTRIBUTION_COUNT_MAX. */
double poisson_at_most(int64_t c, double mean);
double poisson_at_least(int64_t c, double mean);

/* ln of n over k; 0 <= k <= n <= DISTRIBUTION_OF_MAX. */
double ln_choose(int64_t n, int64_t k);
double ln_factorial(int64_t n);

/* Exact limits, each leaving out tail (0 < tail <= 0.25) on its side. Of a share (Clopper and
 * Pearson 1934, Biometrika 26:404-413 - from memory): 0 <= counted <= of, 1 <= of <=
 * DISTRIBUTION_COUNT_MAX. Of a Poisson mean (Garwood 1936, Biometrika 28:437-442 - from memory). */
double share_low(int64_t counted, int64_t of, double tail);
double share_high(int64_t counted, int64_t of, double tail);
double poisson_low(int64_t count, double tail);
double poisson_high(int64_t count, double tail);

#endif
