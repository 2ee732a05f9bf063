/* Ordinary least squares of y on x, with what Student's t makes of its slope.
 *
 *   slope = Sxy/Sxx   s^2 = RSS/(n-2)   SE(slope) = s/sqrt(Sxx)
 *   SE(line at x) = s * sqrt(1/n + (x - mean x)^2 / Sxx)
 *
 * Source: normal theory of the straight line, computed here. */
#ifndef CALC_HEAT_LINE_FIT_H
#define CALC_HEAT_LINE_FIT_H

#include "base/result.h"

struct line_fit {
    size_t n;
    double slope;
    double intercept;
    double mean_x;
    double sxx;
    double rss;
    double s;        /* 0 with two points */
    double se_slope; /* 0 with two points */
    double t_two;    /* 97.5 % point of t with n - 2; INFINITY with two points */
    double t_one;    /* 95 % point */
};

/* n 2 or more points with two or more different x. FIELD_RANGE, NUMBER_BAD on field[i] and field;
 * x and y within 1e12 of 0. */
MUST_USE struct result line_fit(const char *field, const double *x, const double *y, size_t n,
                                struct line_fit *out);
double line_at(const struct line_fit *fit, double x);
/* Half-width of the interval of the line at x: t times its standard error. 0 on the mean of two
 * points is not to be had: INFINITY with two points. */
double line_half_width(const struct line_fit *fit, double x, double t);

#endif
