/* Sums of lethal rates at equal intervals, as old records have them. For comparison only: over a
 * history of straight lines each of them overstates the kill. */
#ifndef CALC_HEAT_RATE_SUM_H
#define CALC_HEAT_RATE_SUM_H

#include "base/result.h"

struct rate_sum {
    double rectangle; /* in the unit of the interval */
    double trapezoid; /* 0 with one rate */
    bool has_simpson; /* an odd number of rates, three or more */
    double simpson;
};

/* count 1 or more rates, each 0 or more; interval above 0. FIELD_RANGE, NUMBER_BAD on rates[i],
 * interval; CALC_OVERFLOW on interval. */
MUST_USE struct result rate_sum(const double *rates, size_t count, double interval,
                                struct rate_sum *out);

#endif
