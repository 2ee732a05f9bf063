/* Survival models fitted to counts at one temperature by least squares of log10 N.
 *
 * Each is started from several places, and the best kept. The largest reduction seen is the fitted
 * start less the lowest count: beyond it a model with a shoulder or a tail says nothing. Counts
 * below the detection limit do not belong here: leave them and all later ones out.
 * Source: models as in calc/heat/survival.h. */
#ifndef CALC_HEAT_SURVIVAL_FIT_H
#define CALC_HEAT_SURVIVAL_FIT_H

#include "calc/heat/least_squares.h"
#include "calc/heat/survival.h"

enum survival_fit_model {
    SURVIVAL_FIT_LINE,          /* log N0, D */
    SURVIVAL_FIT_WEIBULL,       /* log N0, delta, p */
    SURVIVAL_FIT_SHOULDER,      /* log N0, kmax, Sl */
    SURVIVAL_FIT_TAIL,          /* log N0, kmax, log Nres */
    SURVIVAL_FIT_SHOULDER_TAIL, /* log N0, kmax, Sl, log Nres */
    SURVIVAL_FIT_BIPHASIC,      /* log N0, D, D of the tougher part, log10 of its share */
    SURVIVAL_FIT_POWER,         /* y = b x^n, of reductions: b, n */
    SURVIVAL_FIT_MODELS
};

struct survival_fit {
    struct least_squares_fit fit; /* parameters in the order above */
    size_t params;
    double low[LEAST_SQUARES_PARAMS]; /* 95 % by Student's t; -INFINITY: not determined */
    double high[LEAST_SQUARES_PARAMS];
    double aicc; /* for comparing models of the same counts; INFINITY with too few points */
    double seen; /* largest reduction seen, 0 or more */
};

/* time[n] 0 or more, two or more different; y[n] within 20 of 0; n above the number of parameters.
 * FIELD_RANGE, NUMBER_BAD on points; power needs times and reductions above 0. */
MUST_USE struct result survival_fit(struct arena *a, enum survival_fit_model model,
                                    const double *time, const double *y, size_t n,
                                    struct survival_fit *out);

#endif
