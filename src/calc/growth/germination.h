/* A germination test of two or four replicates of 100 seeds: is it fit to be used?
 *
 * The replicates of one well-mixed sample scatter by chance. When they lie further apart than
 * chance explains (one test in forty), the test is made again.
 *
 *   mean     of the replicates, to whole percent, a half rounded up
 *   range    largest minus smallest; equal to the allowed range is still good
 *   allowed  7 CFR 201.55(a), Federal Seed Act regulations, table of maximum tolerated ranges
 *            between 100-seed replicates, 99 to 71 % (published (seen)); a low percentage uses the
 *            row of 101 less itself. For 51 to 70 %, and for two replicates at 98 and 99 %, the
 *            formula behind the table, q * sqrt(P (100 - P) / 100), rounded down (derived): never
 *            wider than the table would be.
 *   chi2     sum of (x - m)^2 / (m (100 - m) / 100): a second opinion, which decides nothing */
#ifndef CALC_GROWTH_GERMINATION_H
#define CALC_GROWTH_GERMINATION_H

#include "base/result.h"

enum { GERMINATION_REPLICATES_MAX = 4, GERMINATION_SEEDS = 100 };

enum germination_verdict { GERMINATION_ACCEPT, GERMINATION_RETEST };

struct germination_report {
    enum germination_verdict verdict;
    int mean_pct;      /* whole percent, half up: the test's result */
    int range;         /* points */
    int allowed_range; /* points */
    bool from_table;   /* else from the formula */
    int64_t low_ppm;   /* Wilson interval, 95 %, of all seeds together; rounded down */
    int64_t high_ppm;  /* rounded up */
    double mean_exact_pct;
    double standard_error_pct; /* of the mean, sqrt(P (100 - P) / n) */
    double chi2;
    double chi2_limit; /* 95 % */
    bool chi2_agrees;  /* chi2 <= chi2_limit */
};

/* normal[i]: normal seedlings of 100, 0 .. 100; replicates 2 or 4. FIELD_RANGE on replicates or
 * replicates[i]. */
MUST_USE struct result germination_judge(const int64_t *normal, size_t replicates,
                                         struct germination_report *out);

/* The allowed range alone. mean_pct 0 .. 100, replicates 2 or 4 (CHECK). */
int germination_allowed_range(int mean_pct, size_t replicates, bool *out_from_table);

const char *germination_verdict_word(enum germination_verdict verdict);

#endif
