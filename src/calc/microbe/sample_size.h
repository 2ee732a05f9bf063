/* How many samples find at least one positive, if as many are positive as one must not miss.
 *
 *   large lot   missed = (1 - p Se)^n, n = ceil(ln(1 - confidence) / ln(1 - p Se))
 *   lot of N    missed = sum over i of hypergeometric(i; n, D, N) (1 - Se)^i, D = floor(p N), at
 *               least one; the smallest n with missed <= 1 - confidence
 *   none of n   then p <= (1 - (1 - confidence)^(1/n)) / Se
 *
 * Derived. Cannon and Roe 1982, Livestock disease surveys, give for a lot (published (seen)):
 *   n = (1 - (1 - confidence)^(1/D)) (N - (D - 1)/2) */
#ifndef CALC_MICROBE_SAMPLE_SIZE_H
#define CALC_MICROBE_SAMPLE_SIZE_H

#include "base/result.h"

enum { SAMPLE_LOT_MAX = 100000 };
#define SAMPLE_COUNT_MAX INT64_C(1000000000000)

struct sample_size {
    double prevalence;  /* 1e-9 .. 1 */
    double confidence;  /* 0.5 .. 0.9999 */
    double sensitivity; /* 1e-6 .. 1 */
    int64_t lot_size;   /* 0: large; else 1 .. SAMPLE_LOT_MAX */
};

struct sample_size_report {
    bool reached; /* false: not even the whole lot gives that confidence */
    int64_t samples;
    double missed;       /* chance of missing with that many; all of the lot where not reached */
    int64_t positives;   /* D, 0 for a large lot */
    double samples_near; /* by Cannon and Roe, 0 for a large lot */
};

/* FIELD_RANGE, NUMBER_BAD with the name of the member. */
MUST_USE struct result sample_size(const struct sample_size *s, struct sample_size_report *out);

/* The chance of missing with this many samples, 1 .. SAMPLE_COUNT_MAX, at most lot_size of a lot;
 * s->confidence is not looked at. */
MUST_USE struct result sample_missed(const struct sample_size *s, int64_t samples,
                                     double *out_missed);

/* The largest share that none positive of samples still allows, 0 .. 1. */
MUST_USE struct result zero_positives(int64_t samples, double confidence, double sensitivity,
                                      double *out_prevalence);

#endif
