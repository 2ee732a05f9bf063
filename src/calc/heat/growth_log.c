#include "calc/heat/growth_log.h"

#include <math.h>

#include "calc/constants.gen.h"
#include "calc/range.h"
#include "calc/sum.h"

#define MS_PER_D 86400000.0
#define H_PER_D 24.0
#define PIECE_MAX_C 5.0

enum { GAP_MAX_MS = 86400000, NODES = 4 };

/* Gauss-Legendre, eight points: half of the nodes and their weights, on -1 .. 1. */
static const double nodes[NODES] = {0.1834346424956498, 0.5255324099163290, 0.7966664774136267,
                                    0.9602898564975363};
static const double weights[NODES] = {0.3626837833783620, 0.3137066458778873, 0.2223810344533745,
                                      0.1012285362903763};

static double warmest_c(const struct heat_log *log, size_t point)
{
    double out = -INFINITY;
    for (size_t k = 0; k < log->probes; k++) {
        out = fmax(out, log->temp_c[point * log->probes + k] + log->uncertainty_c[k]);
    }
    return out;
}

/* The part of a line from a to b, over dt, that lies above limit: its share of dt, and where it
 * then begins and ends. */
static double part_above(double *a, double *b, double limit)
{
    if (*a <= limit && *b <= limit) {
        return 0;
    }
    if (*a >= limit && *b >= limit) {
        return 1;
    }
    double share = (fmax(*a, *b) - limit) / fabs(*b - *a);
    *a = fmax(*a, limit);
    *b = fmax(*b, limit);
    return share;
}

static double root_linear(const struct root_growth *g, double dt_d, double from_c, double to_c)
{
    double share = part_above(&from_c, &to_c, g->t0_c);
    double x1 = from_c - g->t0_c;
    double x2 = to_c - g->t0_c;
    double at5 = 5 - g->t0_c;
    return share * dt_d * g->egr5_log_d * (x1 * x1 + x1 * x2 + x2 * x2) / (3 * at5 * at5);
}

/* Mean of CM(T) over a straight line from a to b within the growing range. */
static double cardinal_mean(const struct cardinal_growth *g, double a, double b)
{
    double middle = (a + b) / 2;
    double half = (b - a) / 2;
    double sum = 0;
    for (size_t i = 0; i < NODES; i++) {
        sum += weights[i] * (cardinal_temp(g, middle - half * nodes[i]) +
                             cardinal_temp(g, middle + half * nodes[i]));
    }
    return sum / 2;
}

/* Days of best growth that a straight line is worth. */
static double cardinal_linear(const struct cardinal_growth *g, double dt_d, double from_c,
                              double to_c)
{
    double low = fmin(from_c, to_c);
    double high = fmax(from_c, to_c);
    if (low == high) {
        return dt_d * cardinal_temp(g, low);
    }
    double grow_low = fmax(low, g->temp_min_c);
    double grow_high = fmin(high, g->temp_max_c);
    if (grow_low >= grow_high) {
        return 0;
    }
    double share = (grow_high - grow_low) / (high - low);
    int pieces = (int)ceil((grow_high - grow_low) / PIECE_MAX_C);
    double step = (grow_high - grow_low) / pieces;
    double sum = 0;
    for (int i = 0; i < pieces; i++) {
        sum += cardinal_mean(g, grow_low + i * step, grow_low + (i + 1) * step);
    }
    return dt_d * share * sum / pieces;
}

static double share_above(double from_c, double to_c, double limit_c)
{
    return part_above(&from_c, &to_c, limit_c);
}

struct result growth_over_log(const struct heat_log *log, int64_t gap_max_ms,
                              const struct root_growth *root,
                              const struct cardinal_growth *cardinal, struct growth_report *out)
{
    *out = (struct growth_report){0};
    TRY(range_check("gap_max_ms", gap_max_ms, 1, GAP_MAX_MS));
    TRY(root_growth_check(root));
    TRY(cardinal_growth_check(cardinal));
    TRY(heat_log_check(log));
    struct sum root_sum = {0}, cardinal_sum = {0}, above_d = {0};
    for (size_t i = 0; i < log->points; i++) {
        double to_c = warmest_c(log, i);
        out->warmest_c = i == 0 ? to_c : fmax(out->warmest_c, to_c);
        if (i == 0) {
            continue;
        }
        double from_c = warmest_c(log, i - 1);
        int64_t dt_ms = log->time_ms[i] - log->time_ms[i - 1];
        double dt_d = (double)dt_ms / MS_PER_D;
        out->gap_longest_ms = dt_ms > out->gap_longest_ms ? dt_ms : out->gap_longest_ms;
        if (dt_ms > gap_max_ms) {
            out->gaps++;
            from_c = to_c = fmax(from_c, to_c);
        }
        sum_add(&root_sum, root_linear(root, dt_d, from_c, to_c));
        sum_add(&cardinal_sum, cardinal_linear(cardinal, dt_d, from_c, to_c));
        sum_add(&above_d, dt_d * share_above(from_c, to_c, CONSTANT_LISTERIA_ROOT_HIGH_C));
    }
    out->root_log = sum_value(&root_sum);
    out->cardinal_log = sum_value(&cardinal_sum) * cardinal->egr_opt_log_d * cardinal_ph(cardinal) *
                        cardinal_aw(cardinal);
    out->above_h = sum_value(&above_d) * H_PER_D;
    return RESULT_OK;
}
