#include "calc/heat/censored_fit.h"

#include <math.h>
#include <string.h>

#include "calc/distribution.h"
#include "calc/heat/line_fit.h"
#include "calc/heat/within.h"

enum { PARAMS = 3, STEPS_MAX = 200, HALVINGS = 60 };
#define TIME_MAX 1e12
#define COUNT_MAX 20

/* Times are taken in units of the longest, so that the matrix keeps its sense. */
struct data {
    const double *time, *y, *low_time, *limit;
    size_t n, m;
    double unit;
};

/* p: intercept / s, slope / s (by unit of time), 1 / s. */
struct top {
    double value;
    double gradient[PARAMS];
    double minus[PARAMS][PARAMS]; /* the second derivatives, their sign turned */
};

static const double half_log_two_pi = 0.91893853320467274178;

/* phi(u) / Phi(u), also far out to the left where both are nothing. */
static double mills(double u)
{
    if (u < -30) {
        return -u - 1 / u; /* its asymptote: good to 1e-6 there */
    }
    return exp(-u * u / 2 - half_log_two_pi) / normal_below(u);
}

static double log_below(double u)
{
    if (u < -30) {
        return -u * u / 2 - half_log_two_pi - log(-u);
    }
    return log(normal_below(u));
}

static void add(struct top *t, const double *row, double slope, double bend)
{
    for (size_t i = 0; i < PARAMS; i++) {
        t->gradient[i] += slope * row[i];
        for (size_t j = 0; j < PARAMS; j++) {
            t->minus[i][j] += bend * row[i] * row[j];
        }
    }
}

static void look(const struct data *d, const double *p, struct top *t)
{
    *t = (struct top){0};
    for (size_t i = 0; i < d->n; i++) {
        double x = d->time[i] / d->unit, row[PARAMS] = {-1, -x, d->y[i]};
        double u = p[2] * d->y[i] - p[0] - p[1] * x;
        t->value += log(p[2]) - u * u / 2 - half_log_two_pi;
        add(t, row, -u, 1);
        t->gradient[2] += 1 / p[2];
        t->minus[2][2] += 1 / (p[2] * p[2]);
    }
    for (size_t i = 0; i < d->m; i++) {
        double x = d->low_time[i] / d->unit, row[PARAMS] = {-1, -x, d->limit[i]};
        double u = p[2] * d->limit[i] - p[0] - p[1] * x, k = mills(u);
        t->value += log_below(u);
        add(t, row, k, k * (k + u));
    }
}

/* Inverts a symmetric matrix by elimination; false: it has no inverse. */
static bool invert(const double m[PARAMS][PARAMS], double out[PARAMS][PARAMS])
{
    double a[PARAMS][2 * PARAMS] = {{0}};
    for (size_t i = 0; i < PARAMS; i++) {
        memcpy(a[i], m[i], sizeof m[i]);
        a[i][PARAMS + i] = 1;
    }
    for (size_t c = 0; c < PARAMS; c++) {
        double pivot = a[c][c];
        if (!(pivot > 0)) {
            return false; /* it is positive where the top is one */
        }
        for (size_t k = 0; k < 2 * PARAMS; k++) {
            a[c][k] /= pivot;
        }
        for (size_t r = 0; r < PARAMS; r++) {
            double share = r == c ? 0 : a[r][c];
            for (size_t k = 0; k < 2 * PARAMS; k++) {
                a[r][k] -= share * a[c][k];
            }
        }
    }
    for (size_t i = 0; i < PARAMS; i++) {
        memcpy(out[i], a[i] + PARAMS, sizeof out[i]);
    }
    return true;
}

/* One step of Newton's, cut back until it climbs; *out_moved: how far. */
static bool climb(const struct data *d, double *p, struct top *t, double *out_moved)
{
    double inverse[PARAMS][PARAMS], step[PARAMS] = {0}, next[PARAMS];
    *out_moved = 0;
    if (!invert(t->minus, inverse)) {
        return false;
    }
    for (size_t i = 0; i < PARAMS; i++) {
        for (size_t j = 0; j < PARAMS; j++) {
            step[i] += inverse[i][j] * t->gradient[j];
        }
    }
    double share = 1;
    for (int k = 0; k < HALVINGS; k++, share /= 2) {
        struct top there;
        for (size_t i = 0; i < PARAMS; i++) {
            next[i] = p[i] + share * step[i];
        }
        if (next[2] > 0) {
            look(d, next, &there);
            if (there.value >= t->value) {
                for (size_t i = 0; i < PARAMS; i++) {
                    *out_moved = fmax(*out_moved, fabs(next[i] - p[i]) / (1 + fabs(next[i])));
                }
                memcpy(p, next, sizeof next);
                *t = there;
                return true;
            }
        }
    }
    return true; /* at the top, as far as doubles tell */
}

static struct result check(const struct data *d)
{
    for (size_t i = 0; i < d->n; i++) {
        TRY(within_item("points", i, d->time[i], 0, TIME_MAX, "a time of 0 or more"));
        TRY(within_item("points", i, d->y[i], -COUNT_MAX, COUNT_MAX, "from -20 to 20"));
    }
    for (size_t i = 0; i < d->m; i++) {
        TRY(within_item("below", i, d->low_time[i], 0, TIME_MAX, "a time of 0 or more"));
        TRY(within_item("below", i, d->limit[i], -COUNT_MAX, COUNT_MAX, "from -20 to 20"));
    }
    return d->n >= 3 ? RESULT_OK : FAIL2(FIELD_RANGE, "points", "too few", "three counts or more");
}

static struct result no_top(void)
{
    return FAIL2(FIELD_RANGE, "points", "without a scatter that they tell",
                 "counts that fall with time and scatter about a line");
}

/* Of slope = p1 / (p2 unit): by the errors of p. */
static double slope_error(const struct data *d, const double *p, const struct top *t)
{
    double inverse[PARAMS][PARAMS];
    double by[PARAMS] = {0, 1 / (p[2] * d->unit), -p[1] / (p[2] * p[2] * d->unit)};
    double sum = 0;
    if (!invert(t->minus, inverse)) {
        return INFINITY;
    }
    for (size_t i = 0; i < PARAMS; i++) {
        for (size_t j = 0; j < PARAMS; j++) {
            sum += by[i] * inverse[i][j] * by[j];
        }
    }
    return sqrt(fmax(0, sum));
}

static void fill(const struct data *d, const double *p, const struct top *t,
                 struct censored_fit *out)
{
    double z = normal_quantile(0.975);
    *out = (struct censored_fit){.intercept = p[0] / p[2],
                                 .slope = p[1] / (p[2] * d->unit),
                                 .s = 1 / p[2],
                                 .se_slope = slope_error(d, p, t),
                                 .log_likelihood = t->value,
                                 .below = d->m};
    double steep = out->slope - z * out->se_slope, flat = out->slope + z * out->se_slope;
    out->d = -1 / out->slope;
    out->d_low = -1 / steep;
    out->d_high = flat < 0 ? -1 / flat : INFINITY;
}

struct result censored_fit(const double *time, const double *y, size_t n, const double *low_time,
                           const double *limit, size_t m, struct censored_fit *out)
{
    struct data d = {time, y, low_time, limit, n, m, 0};
    struct line_fit line;
    struct top t;
    *out = (struct censored_fit){0};
    TRY(check(&d));
    for (size_t i = 0; i < n; i++) {
        d.unit = fmax(d.unit, time[i]);
    }
    TRY(line_fit("points", time, y, n, &line));
    double s = sqrt(line.rss / (double)n);
    if (!(s > 1e-9)) {
        return no_top(); /* an exact line has no scatter, and no top */
    }
    double p[PARAMS] = {line.intercept / s, line.slope * d.unit / s, 1 / s};
    look(&d, p, &t);
    double moved = 1;
    for (int i = 0; i < STEPS_MAX && moved > 1e-13; i++) {
        if (!climb(&d, p, &t, &moved)) {
            return no_top();
        }
    }
    if (!(p[1] < 0) || !isfinite(t.value)) {
        return no_top();
    }
    fill(&d, p, &t, out);
    return RESULT_OK;
}
