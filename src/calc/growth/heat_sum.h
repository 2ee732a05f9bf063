/* Degree-hours above a base temperature, and when a chamber will be ready.
 *
 *   HS = integral of max(0, min(T, optimum) - base) dt       T a straight line between log points
 *
 * The straight line is split where it crosses base and optimum, so that the sum is exact. A silence
 * longer than two hours is bridged all the same and flagged: the forecast is for planning. */
#ifndef CALC_GROWTH_HEAT_SUM_H
#define CALC_GROWTH_HEAT_SUM_H

#include "base/result.h"

/* -60 .. 300 C in the log; base below optimum, both -5 .. 60 C. */
struct heat_sum_crop {
    int32_t base_mc;
    int32_t optimum_mc;
    int64_t goal_mc_h; /* degree-hours to harvest, thousandths; above 0, up to 1e8 */
};

struct heat_sum_report {
    double sum_c_h;
    int64_t sum_mc_h; /* rounded down */
    int64_t gap_longest_ms;
    size_t gaps; /* silences over two hours */
    bool has_gap;
};

/* Times ascending, equal times only with equal temperatures; fewer than two points give 0.
 * LOG_BACKWARDS, LOG_TWICE, FIELD_RANGE on points[i], base_mc, optimum_mc, goal_mc_h; FIELD_RANGE
 * where the log spans more than 1000 days. */
MUST_USE struct result heat_sum(const struct heat_sum_crop *crop, const int64_t *time_ms,
                                const int32_t *temp_mc, size_t points, struct heat_sum_report *out);

/* From from_ms on the bed is kept at temp_mc, until the next set point. */
struct set_point {
    int64_t from_ms;
    int32_t temp_mc;
};

struct harvest_forecast {
    bool reached;     /* the goal is reached already; ready_ms is now */
    bool never;       /* at the last set point nothing grows; ready_ms is 0 */
    int64_t ready_ms; /* rounded up */
    int64_t remaining_mc_h;
    /* What one degree more would change now, -remaining / (T - base)^2: hours per degree, below
     * 0. 0 where the present set point is at or below base, or at or above optimum. */
    double lever_h_per_c;
    int64_t lever_ms_per_c; /* rounded towards 0 */
};

/* ahead[0].from_ms <= now_ms, ascending; 1 .. 100 set points, each -60 .. 300 C. done_mc_h 0 ..
 * 1e8. FIELD_RANGE on done_mc_h, ahead, ahead[i]. */
MUST_USE struct result harvest_forecast(const struct heat_sum_crop *crop, int64_t done_mc_h,
                                        int64_t now_ms, const struct set_point *ahead,
                                        size_t set_points, struct harvest_forecast *out);

#endif
