/* The one-sided tolerance factor of a normal sample. */
#ifndef CALC_HEAT_TOLERANCE_H
#define CALC_HEAT_TOLERANCE_H

#include <stddef.h>

/* k so that mean - k * sd of n normal values lies below a share p of all of them, with that
 * confidence: quantile of the noncentral t with n - 1 degrees, over sqrt(n). n 2 or more; p and
 * confidence 0.5 or more and below 1 (CHECK). Good to 1e-8. */
double tolerance_factor(size_t n, double p, double confidence);

#endif
