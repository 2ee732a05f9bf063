/* A straight survivor line through counts of which some lay below the detection limit: those say
 * only that the count was lower. By maximum likelihood of normal scatter (Tobit); nothing is put in
 * their place and nothing is left out.
 *
 *   ln L = sum of ln (phi((y - a - b t) / s) / s) over counts
 *        + sum of ln Phi((limit - a - b t) / s) over those below
 *
 * Found by Newton's way in b / s and 1 / s, in which ln L has one top (Olsen 1978, Econometrica
 * 46:1211-1215 - from memory). Errors are those of large samples: few counts make them too small.
 * Source: computed here; the likelihood is Tobin's of 1958 (from memory). */
#ifndef CALC_HEAT_CENSORED_FIT_H
#define CALC_HEAT_CENSORED_FIT_H

#include "base/result.h"

struct censored_fit {
    double intercept, slope; /* log10 N at time 0; log10 N a unit of time */
    double s;                /* scatter about the line, by maximum likelihood */
    double se_slope;
    double d, d_low, d_high; /* -1 / slope and its 95 %; d_high INFINITY: not determined */
    double log_likelihood;
    size_t below; /* how many */
};

/* time[n], y[n] the counts; low_time[m], limit[m] those below. Times 0 .. 1e12, the others within
 * 20 of 0. Three counts or more at two different times. FIELD_RANGE, NUMBER_BAD on points, below.
 */
MUST_USE struct result censored_fit(const double *time, const double *y, size_t n,
                                    const double *low_time, const double *limit, size_t m,
                                    struct censored_fit *out);

#endif
