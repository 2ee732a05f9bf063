/* Student's t for whole degrees of freedom, and the one-sided tolerance factor of a normal sample.
 *
 * The distribution is a finite trigonometric sum for whole degrees of freedom (Abramowitz and
 * Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4 - from memory); quantiles by
 * bisection. */
#ifndef CALC_HEAT_STUDENT_H
#define CALC_HEAT_STUDENT_H

#include <stddef.h>

/* P(T <= t), df 1 or more (CHECK). */
double student_cdf(double t, size_t df);
/* The t with P(T <= t) = p, 0.5 <= p < 1 (CHECK); good to 1e-12 of it. */
double student_quantile(double p, size_t df);
/* k so that mean - k * sd of n normal values lies below a share p of all of them, with that
 * confidence: quantile of the noncentral t with n - 1 degrees, over sqrt(n). n 2 or more; p and
 * confidence 0.5 or more and below 1 (CHECK). Good to 1e-8. */
double tolerance_factor(size_t n, double p, double confidence);

#endif
