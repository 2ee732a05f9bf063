/* Nonlinear least squares by Levenberg and Marquardt's way, for a few parameters and some hundred
 * points. Derivatives are central differences; damping is scaled by the diagonal, so that units do
 * not matter. Source: Marquardt 1963, an algorithm for least-squares estimation of nonlinear
 * parameters (from memory); held against a certified fit in tests/published. */
#ifndef CALC_HEAT_LEAST_SQUARES_H
#define CALC_HEAT_LEAST_SQUARES_H

#include "base/result.h"

enum { LEAST_SQUARES_PARAMS = 4 };

struct least_squares_model {
    size_t params; /* 1 .. LEAST_SQUARES_PARAMS */
    double (*value)(const double *param, double x);
    /* A step is cut back to these; -INFINITY and INFINITY: none. */
    double low[LEAST_SQUARES_PARAMS];
    double high[LEAST_SQUARES_PARAMS];
};

struct least_squares_fit {
    double param[LEAST_SQUARES_PARAMS];
    double se[LEAST_SQUARES_PARAMS]; /* INFINITY where the points do not tell the parameter */
    double rss;
    double s; /* sqrt(rss / (n - params)); 0 with as many points as parameters */
    size_t iterations;
    bool converged;
};

/* start within the model's bounds. n at least params (CHECK). Finite x and y (CHECK). */
void least_squares(struct arena *a, const struct least_squares_model *model, const double *x,
                   const double *y, size_t n, const double *start, struct least_squares_fit *out);

#endif
