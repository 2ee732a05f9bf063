/* The interval in which the true share lies, 95 times in a hundred, after counting some of n.
 *
 *   centre (p + z^2/2n) / (1 + z^2/n), half-width z sqrt(p(1-p)/n + z^2/4n^2) / (1 + z^2/n)
 *
 * Wilson 1927, Probable inference, the law of succession, and statistical inference, Journal of the
 * American Statistical Association 22:209-212 - from memory. */
#ifndef CALC_WILSON_H
#define CALC_WILSON_H

#include "base/result.h"

struct wilson {
    double low;
    double high;
    int64_t low_ppm;  /* rounded down */
    int64_t high_ppm; /* rounded up */
};

/* 0 <= counted <= of, of 1 .. 1e9. FIELD_RANGE on counted or of. */
MUST_USE struct result wilson(int64_t counted, int64_t of, struct wilson *out);

#endif
