/* Presence tests on a lot whose level varies from portion to portion as a log-normal.
 *
 *   p_neg(w) = integral of phi(z) exp(-w 10^(mu + sigma z)) dz, P = 1 - p_neg^n
 *
 * Worked out by the trapezoid rule on z from -10 to 10, whose error falls exponentially for a
 * function as smooth as this one: the step is chosen from sigma so that it stays below 1e-13 of the
 * integral. The share beyond |z| = 10 is 1e-23.
 *
 * The model is that of ICMSF 2002, Microorganisms in Foods 7, and of Codex CAC/GL 61 (from
 * memory); the arithmetic mean is 10^(mu + sigma^2 ln(10)/2). */
#ifndef CALC_MICROBE_LOGNORMAL_DETECTION_H
#define CALC_MICROBE_LOGNORMAL_DETECTION_H

#include "base/result.h"

struct lognormal_detection {
    double mean_log10; /* of cells per g; -30 .. 15 */
    double sd_log10;   /* 0 .. 5; 0: the same everywhere */
    double portion_g;  /* 1e-6 .. 1e9 */
    int64_t tests;     /* 1 .. 1e6 */
};

struct lognormal_detection_report {
    double chance_one;
    double chance;
    double arithmetic_mean_per_g;
};

/* FIELD_RANGE, NUMBER_BAD with the name of the member. */
MUST_USE struct result lognormal_detection(const struct lognormal_detection *d,
                                           struct lognormal_detection_report *out);

/* The mean_log10 at which a lot is rejected with this confidence, 0.5 .. 0.9999; d->mean_log10 is
 * not looked at. Errors as above. */
MUST_USE struct result lognormal_rejected(const struct lognormal_detection *d, double confidence,
                                          double *out_mean_log10);

#endif
