#include "calc/heat/survival_fit.h"

#include <math.h>
#include <stdio.h>

#include "base/check.h"
#include "calc/distribution.h"
#include "calc/heat/line_fit.h"
#include "calc/heat/within.h"

#define TIME_MAX 1e12

static double line_value(const double *p, double x)
{
    return p[0] - x / p[1];
}

static double weibull_value(const double *p, double x)
{
    return p[0] - pow(x / p[1], p[2]);
}

static double geeraerd(double log_n0, double kmax, double shoulder, bool has_tail, double log_tail,
                       double x)
{
    struct survival s = {.model = SURVIVAL_GEERAERD,
                         .shoulder = kmax * shoulder,
                         .has_tail = has_tail,
                         .log_initial = log_n0,
                         .log_tail = fmin(log_tail, log_n0)};
    return log_n0 - survival_reduction(&s, kmax * x / M_LN10, 0);
}

static double shoulder_value(const double *p, double x)
{
    return geeraerd(p[0], p[1], p[2], false, 0, x);
}

static double tail_value(const double *p, double x)
{
    return geeraerd(p[0], p[1], 0, true, p[2], x);
}

static double shoulder_tail_value(const double *p, double x)
{
    return geeraerd(p[0], p[1], p[2], true, p[3], x);
}

static double biphasic_value(const double *p, double x)
{
    struct survival s = {.model = SURVIVAL_BIPHASIC, .fraction = 1 - pow(10, p[3])};
    return p[0] - survival_reduction(&s, x / p[1], x / p[2]);
}

static double power_value(const double *p, double x)
{
    return p[0] * pow(x, p[1]);
}

#define TINY 1e-12

static const struct least_squares_model models[SURVIVAL_FIT_MODELS] = {
    [SURVIVAL_FIT_LINE] = {2, line_value, {-30, TINY}, {30, TIME_MAX}},
    [SURVIVAL_FIT_WEIBULL] = {3, weibull_value, {-30, TINY, 0.05}, {30, TIME_MAX, 20}},
    [SURVIVAL_FIT_SHOULDER] = {3, shoulder_value, {-30, TINY, 0}, {30, TIME_MAX, TIME_MAX}},
    [SURVIVAL_FIT_TAIL] = {3, tail_value, {-30, TINY, -30}, {30, TIME_MAX, 30}},
    [SURVIVAL_FIT_SHOULDER_TAIL] = {4,
                                    shoulder_tail_value,
                                    {-30, TINY, 0, -30},
                                    {30, TIME_MAX, TIME_MAX, 30}},
    [SURVIVAL_FIT_BIPHASIC] = {4,
                               biphasic_value,
                               {-30, TINY, TINY, -15},
                               {30, TIME_MAX, TIME_MAX, 0}},
    [SURVIVAL_FIT_POWER] = {2, power_value, {TINY, -20}, {TIME_MAX, 20}},
};

static struct result points_check(enum survival_fit_model model, const double *time,
                                  const double *y, size_t n)
{
    bool power = model == SURVIVAL_FIT_POWER;
    for (size_t i = 0; i < n; i++) {
        TRY(within_item("points", i, time[i], power ? WITHIN_ABOVE_ZERO : 0, TIME_MAX,
                        power ? "a time above 0" : "a time of 0 or more"));
        TRY(within_item("points", i, y[i], power ? WITHIN_ABOVE_ZERO : -20, 20,
                        power ? "above 0 and at most 20" : "from -20 to 20"));
    }
    if (n <= models[model].params) {
        char text[40], range[80];
        snprintf(text, sizeof text, "%zu points", n);
        snprintf(range, sizeof range, "more than %zu for this model", models[model].params);
        return FAIL2(FIELD_RANGE, "points", text, range);
    }
    return RESULT_OK;
}

/* What the straight line and the lowest count suggest. */
struct guess {
    double log_n0;
    double d;
    double longest;
    double lowest;
};

static void start_make(enum survival_fit_model model, const struct guess *g, double part,
                       double bend, double *out)
{
    double kmax = M_LN10 / g->d;
    out[0] = g->log_n0;
    switch (model) {
    case SURVIVAL_FIT_WEIBULL:
        out[1] = g->d * (1 + part * 3);
        out[2] = bend;
        break;
    case SURVIVAL_FIT_SHOULDER:
        out[1] = kmax * bend;
        out[2] = part * g->longest;
        break;
    case SURVIVAL_FIT_TAIL:
        out[1] = kmax * bend * 2;
        out[2] = g->lowest - part;
        break;
    case SURVIVAL_FIT_SHOULDER_TAIL:
        out[1] = kmax * bend * 2;
        out[2] = part * g->longest;
        out[3] = g->lowest;
        break;
    case SURVIVAL_FIT_BIPHASIC: /* the end falls slower than the whole, the beginning faster */
        out[1] = g->d * (0.1 + part);
        out[2] = g->d * 2 * bend;
        out[3] = -(g->log_n0 - g->lowest) * (0.2 + part);
        break;
    case SURVIVAL_FIT_LINE:
    case SURVIVAL_FIT_POWER:
    case SURVIVAL_FIT_MODELS:
        out[1] = g->d;
        break;
    }
}

static struct result guess_make(const double *time, const double *y, size_t n, struct guess *out)
{
    struct line_fit line;
    TRY(line_fit("points", time, y, n, &line));
    if (!(line.slope < 0)) {
        return FAIL2(FIELD_RANGE, "points", "not falling", "falling with time");
    }
    *out = (struct guess){.log_n0 = y[0], .d = -1 / line.slope, .lowest = INFINITY};
    for (size_t i = 0; i < n; i++) {
        out->longest = fmax(out->longest, time[i]);
        out->lowest = fmin(out->lowest, y[i]);
        out->log_n0 = fmax(out->log_n0, y[i]);
    }
    return RESULT_OK;
}

static struct result power_start(struct arena *a, const double *x, const double *y, size_t n,
                                 double *out)
{
    double *log_x = ARENA_ARRAY(a, double, n);
    double *log_y = ARENA_ARRAY(a, double, n);
    struct line_fit line;
    for (size_t i = 0; i < n; i++) {
        log_x[i] = log(x[i]);
        log_y[i] = log(y[i]);
    }
    TRY(line_fit("points", log_x, log_y, n, &line));
    out[0] = fmin(fmax(exp(line.intercept), TINY), TIME_MAX);
    out[1] = fmin(fmax(line.slope, -20), 20);
    return RESULT_OK;
}

static void better_take(struct least_squares_fit *best, const struct least_squares_fit *fit)
{
    if (isfinite(fit->rss) && fit->rss < best->rss) {
        *best = *fit;
    }
}

static struct result best_find(struct arena *a, enum survival_fit_model model, const double *time,
                               const double *y, size_t n, struct least_squares_fit *best)
{
    static const double parts[] = {0.02, 0.2, 0.5};
    static const double bends[] = {0.6, 1, 2};
    double start[LEAST_SQUARES_PARAMS];
    struct least_squares_fit fit;
    struct guess guess;
    *best = (struct least_squares_fit){.rss = INFINITY};
    if (model == SURVIVAL_FIT_POWER) {
        TRY(power_start(a, time, y, n, start));
        least_squares(a, &models[model], time, y, n, start, &fit);
        better_take(best, &fit);
        return RESULT_OK;
    }
    TRY(guess_make(time, y, n, &guess));
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        for (size_t j = 0; j < sizeof bends / sizeof bends[0]; j++) {
            start_make(model, &guess, parts[i], bends[j], start);
            least_squares(a, &models[model], time, y, n, start, &fit);
            better_take(best, &fit);
        }
    }
    return RESULT_OK;
}

static void seen_take(enum survival_fit_model model, const double *y, size_t n,
                      struct survival_fit *out)
{
    double lowest = INFINITY, highest = -INFINITY;
    for (size_t i = 0; i < n; i++) {
        lowest = fmin(lowest, y[i]);
        highest = fmax(highest, y[i]);
    }
    out->seen = model == SURVIVAL_FIT_POWER ? highest : fmax(0, out->fit.param[0] - lowest);
}

struct result survival_fit(struct arena *a, enum survival_fit_model model, const double *time,
                           const double *y, size_t n, struct survival_fit *out)
{
    CHECK(model < SURVIVAL_FIT_MODELS);
    *out = (struct survival_fit){.aicc = INFINITY};
    TRY(points_check(model, time, y, n));
    struct survival_fit r = {.params = models[model].params, .aicc = INFINITY};
    TRY(best_find(a, model, time, y, n, &r.fit));
    if (!isfinite(r.fit.rss)) {
        return FAIL2(FIELD_RANGE, "points", "nothing that this model fits",
                     "counts that it can follow");
    }
    double t = student_quantile(0.975, (int64_t)(n - r.params));
    for (size_t j = 0; j < r.params; j++) {
        r.low[j] = r.fit.param[j] - t * r.fit.se[j];
        r.high[j] = r.fit.param[j] + t * r.fit.se[j];
    }
    /* The variance is a parameter too. */
    double k = (double)r.params + 1;
    if ((double)n > k + 1 && r.fit.rss > 0) {
        r.aicc =
            (double)n * log(r.fit.rss / (double)n) + 2 * k + 2 * k * (k + 1) / ((double)n - k - 1);
    }
    seen_take(model, y, n, &r);
    *out = r;
    return RESULT_OK;
}
