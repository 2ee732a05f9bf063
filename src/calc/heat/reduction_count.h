/* Log reductions from plate counts, and what several batches together say.
 *
 *   R = log10(n0/n1 * amounts)      SE = 0.4343 sqrt(1/n0 + 1/n1)     Poisson counts of colonies
 *   none found: at most -ln 0.05 = 2.996 were there (95 %), R >= log10(N0 m / 2.996)
 *   batches: mean - k sd lies below 95 of 100 batches with 95 % confidence (noncentral t)
 *
 * Source: Poisson and normal theory, computed here. */
#ifndef CALC_HEAT_REDUCTION_COUNT_H
#define CALC_HEAT_REDUCTION_COUNT_H

#include "base/result.h"

struct reduction_count {
    bool none_found;
    double reduction; /* the lower bound where none were found */
    double se;        /* 0 where none were found */
    double low;       /* one-sided 95 % */
};

/* before 1 .. 1e9 colonies, after 0 .. 1e9; amount_ratio: sample behind the second count over that
 * behind the first, 1e-12 .. 1e12. FIELD_RANGE, NUMBER_BAD on before, after, amount_ratio. */
MUST_USE struct result reduction_count(int64_t before, int64_t after, double amount_ratio,
                                       struct reduction_count *out);
/* All negative: initial_per_g above 0 in amount_g above 0; may be below 0 (nothing is shown). */
MUST_USE struct result reduction_none_found(double initial_per_g, double amount_g, double *out);

struct reduction_batches {
    double mean;
    double sd;
    double least;
    double factor;           /* k for 95 % of batches with 95 % confidence */
    double low;              /* mean - k sd */
    double least_confidence; /* confidence that 95 % of batches reach the least of them */
};

/* n 2 .. 10000 reductions, each -20 .. 300. FIELD_RANGE, NUMBER_BAD on reductions. */
MUST_USE struct result reduction_batches(const double *reductions, size_t n,
                                         struct reduction_batches *out);

#endif
