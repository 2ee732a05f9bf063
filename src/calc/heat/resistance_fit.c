#include "calc/heat/resistance_fit.h"

#include <math.h>

#include "calc/heat/within.h"

/* D or z out of a falling slope. */
static struct result inverted(struct resistance_fit *fit)
{
    const struct line_fit *line = &fit->line;
    if (!(line->slope < 0)) {
        return FAIL2(FIELD_RANGE, "points", "not falling", "falling from left to right");
    }
    double half = line->n > 2 ? line->t_two * line->se_slope : INFINITY;
    fit->value = -1 / line->slope;
    fit->low = isinf(half) ? 0 : -1 / (line->slope - half);
    fit->high = line->slope + half < 0 ? -1 / (line->slope + half) : INFINITY;
    return RESULT_OK;
}

struct result resistance_fit_d(struct arena *a, const double *time, const double *log_count,
                               size_t n, double first_none, struct resistance_fit *out)
{
    double *x = ARENA_ARRAY(a, double, n);
    double *y = ARENA_ARRAY(a, double, n);
    size_t kept = 0;
    *out = (struct resistance_fit){0};
    for (size_t i = 0; i < n; i++) {
        TRY(within_item("points", i, time[i], 0, 1e12, "from 0 to 1e12"));
        TRY(within_item("points", i, log_count[i], -20, 20, "from -20 to 20 log10"));
        if (time[i] < first_none) {
            x[kept] = time[i];
            y[kept++] = log_count[i];
        }
    }
    struct resistance_fit fit = {.left_out = n - kept};
    TRY(line_fit("points", x, y, kept, &fit.line));
    TRY(inverted(&fit));
    *out = fit;
    return RESULT_OK;
}

double resistance_reduction_low(const struct resistance_fit *fit, double time)
{
    const struct line_fit *line = &fit->line;
    if (line->n <= 2) {
        return 0;
    }
    return fmax(0, (-line->slope - line->t_one * line->se_slope) * time);
}

struct result resistance_fit_z(struct arena *a, const double *temp, const double *time, size_t n,
                               struct resistance_fit *out)
{
    double *y = ARENA_ARRAY(a, double, n);
    *out = (struct resistance_fit){0};
    for (size_t i = 0; i < n; i++) {
        TRY(within_item("points", i, temp[i], -200, 600, "from -200 to 600"));
        TRY(within_item("points", i, time[i], 1e-12, 1e12, "a time above 0"));
        y[i] = log10(time[i]);
    }
    struct resistance_fit fit = {.left_out = 0};
    TRY(line_fit("points", temp, y, n, &fit.line));
    TRY(inverted(&fit));
    *out = fit;
    return RESULT_OK;
}

double resistance_time_at(const struct resistance_fit *fit, double temp, double *out_high)
{
    double at = line_at(&fit->line, temp);
    *out_high = pow(10, at + line_half_width(&fit->line, temp, fit->line.t_one));
    return pow(10, at);
}
