#include "calc/heat/line_fit.h"
#include "calc/distribution.h"

#include <math.h>

#include "calc/heat/within.h"
#include "calc/sum.h"

#define VALUE_MAX 1e12

static struct result points_check(const char *field, const double *x, const double *y, size_t n)
{
    bool differ = false;
    for (size_t i = 0; i < n; i++) {
        TRY(within_item(field, i, x[i], -VALUE_MAX, VALUE_MAX, "within 1e12 of 0"));
        TRY(within_item(field, i, y[i], -VALUE_MAX, VALUE_MAX, "within 1e12 of 0"));
        differ = differ || x[i] != x[0];
    }
    return differ ? RESULT_OK
                  : FAIL2(FIELD_RANGE, field, "at one place only", "two or more different points");
}

struct result line_fit(const char *field, const double *x, const double *y, size_t n,
                       struct line_fit *out)
{
    *out = (struct line_fit){0};
    TRY(points_check(field, x, y, n));
    struct sum sum_x = {0}, sum_y = {0}, sxx = {0}, sxy = {0}, rss = {0};
    for (size_t i = 0; i < n; i++) {
        sum_add(&sum_x, x[i]);
        sum_add(&sum_y, y[i]);
    }
    struct line_fit fit = {.n = n, .mean_x = sum_value(&sum_x) / (double)n};
    double mean_y = sum_value(&sum_y) / (double)n;
    for (size_t i = 0; i < n; i++) {
        double dx = x[i] - fit.mean_x;
        sum_add(&sxx, dx * dx);
        sum_add(&sxy, dx * (y[i] - mean_y));
    }
    fit.sxx = sum_value(&sxx);
    fit.slope = sum_value(&sxy) / fit.sxx;
    fit.intercept = mean_y - fit.slope * fit.mean_x;
    for (size_t i = 0; i < n; i++) {
        double miss = y[i] - mean_y - fit.slope * (x[i] - fit.mean_x);
        sum_add(&rss, miss * miss);
    }
    fit.t_two = fit.t_one = INFINITY;
    if (n > 2) {
        fit.rss = sum_value(&rss);
        fit.s = sqrt(fit.rss / (double)(n - 2));
        fit.se_slope = fit.s / sqrt(fit.sxx);
        fit.t_two = student_quantile(0.975, (int64_t)(n - 2));
        fit.t_one = student_quantile(0.95, (int64_t)(n - 2));
    }
    *out = fit;
    return RESULT_OK;
}

double line_at(const struct line_fit *fit, double x)
{
    return fit->intercept + fit->slope * x;
}

double line_half_width(const struct line_fit *fit, double x, double t)
{
    if (isinf(t)) {
        return INFINITY;
    }
    double dx = x - fit->mean_x;
    return t * fit->s * sqrt(1 / (double)fit->n + dx * dx / fit->sxx);
}
