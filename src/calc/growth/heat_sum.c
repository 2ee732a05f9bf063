#include "calc/growth/heat_sum.h"

#include <math.h>
#include <stdio.h>

#include "calc/constants.gen.h"
#include "calc/range.h"
#include "calc/sum.h"

#define HOUR_MS INT64_C(3600000)
#define SPAN_MAX_MS INT64_C(86400000000)
#define TIME_MAX_MS INT64_C(4000000000000000)
#define SUM_MAX_MC_H INT64_C(100000000)

enum { CROP_LOW_MC = -5000, CROP_HIGH_MC = 60000, LOG_LOW_MC = -60000, LOG_HIGH_MC = 300000 };
enum { SET_POINTS_MAX = 100 };

static struct result crop_check(const struct heat_sum_crop *crop)
{
    TRY(range_check("base_mc", crop->base_mc, CROP_LOW_MC, CROP_HIGH_MC - 1));
    TRY(range_check("optimum_mc", crop->optimum_mc, crop->base_mc + 1, CROP_HIGH_MC));
    return range_check("goal_mc_h", crop->goal_mc_h, 1, SUM_MAX_MC_H);
}

static struct result point_check(const int64_t *time_ms, const int32_t *temp_mc, size_t point)
{
    char field[40];
    snprintf(field, sizeof field, "points[%zu][1]", point);
    TRY(range_check(field, temp_mc[point], LOG_LOW_MC, LOG_HIGH_MC));
    snprintf(field, sizeof field, "points[%zu][0]", point);
    TRY(range_check(field, time_ms[point], -TIME_MAX_MS, TIME_MAX_MS));
    if (point == 0) {
        return RESULT_OK;
    }
    if (time_ms[point] < time_ms[point - 1]) {
        return FAIL0(LOG_BACKWARDS, field);
    }
    if (time_ms[point] == time_ms[point - 1] && temp_mc[point] != temp_mc[point - 1]) {
        return FAIL0(LOG_TWICE, field);
    }
    return range_check(field, time_ms[point] - time_ms[0], 0, SPAN_MAX_MS);
}

/* Mean of max(0, min(T, optimum) - base) over a straight line. */
static double mean_above(const struct heat_sum_crop *crop, double from_mc, double to_mc)
{
    double low = fmin(from_mc, to_mc) - crop->base_mc;
    double high = fmax(from_mc, to_mc) - crop->base_mc;
    double top = crop->optimum_mc - crop->base_mc;
    if (high <= 0) {
        return 0;
    }
    if (low >= top || low == high) {
        return fmin(low, top);
    }
    /* Area under the line between 0 and top, and the rectangle where the line is above top. */
    double a = fmax(low, 0);
    double b = fmin(high, top);
    return ((b * b - a * a) / 2 + (high - b) * top) / (high - low);
}

struct result heat_sum(const struct heat_sum_crop *crop, const int64_t *time_ms,
                       const int32_t *temp_mc, size_t points, struct heat_sum_report *out)
{
    *out = (struct heat_sum_report){0};
    TRY(crop_check(crop));
    struct sum mc_h = {0, 0};
    for (size_t i = 0; i < points; i++) {
        TRY(point_check(time_ms, temp_mc, i));
        if (i == 0) {
            continue;
        }
        int64_t dt_ms = time_ms[i] - time_ms[i - 1];
        out->gap_longest_ms = dt_ms > out->gap_longest_ms ? dt_ms : out->gap_longest_ms;
        out->gaps += (double)dt_ms > CONSTANT_HEAT_SUM_GAP_H * (double)HOUR_MS;
        sum_add(&mc_h,
                (double)dt_ms / (double)HOUR_MS * mean_above(crop, temp_mc[i - 1], temp_mc[i]));
    }
    out->has_gap = out->gaps > 0;
    out->sum_c_h = sum_value(&mc_h) / 1000;
    out->sum_mc_h = (int64_t)floor(sum_value(&mc_h));
    return RESULT_OK;
}

static int64_t rate_mc(const struct heat_sum_crop *crop, int32_t temp_mc)
{
    int64_t held_mc = temp_mc < crop->optimum_mc ? temp_mc : crop->optimum_mc;
    return held_mc > crop->base_mc ? held_mc - crop->base_mc : 0;
}

static struct result ahead_check(int64_t now_ms, const struct set_point *ahead, size_t set_points)
{
    TRY(range_check("ahead", (int64_t)set_points, 1, SET_POINTS_MAX));
    TRY(range_check("now_ms", now_ms, -TIME_MAX_MS, TIME_MAX_MS));
    for (size_t i = 0; i < set_points; i++) {
        char field[32];
        snprintf(field, sizeof field, "ahead[%zu]", i);
        TRY(range_check(field, ahead[i].temp_mc, LOG_LOW_MC, LOG_HIGH_MC));
        TRY(range_check(field, ahead[i].from_ms, i == 0 ? -TIME_MAX_MS : ahead[i - 1].from_ms + 1,
                        i == 0 ? now_ms : TIME_MAX_MS));
    }
    return RESULT_OK;
}

static void lever_fill(const struct heat_sum_crop *crop, int32_t temp_mc,
                       struct harvest_forecast *out)
{
    if (temp_mc <= crop->base_mc || temp_mc >= crop->optimum_mc) {
        return;
    }
    double above_c = (temp_mc - crop->base_mc) / 1000.0;
    out->lever_h_per_c = -((double)out->remaining_mc_h / 1000.0) / (above_c * above_c);
    out->lever_ms_per_c = (int64_t)(out->lever_h_per_c * (double)HOUR_MS);
}

struct result harvest_forecast(const struct heat_sum_crop *crop, int64_t done_mc_h, int64_t now_ms,
                               const struct set_point *ahead, size_t set_points,
                               struct harvest_forecast *out)
{
    *out = (struct harvest_forecast){0};
    TRY(crop_check(crop));
    TRY(range_check("done_mc_h", done_mc_h, 0, SUM_MAX_MC_H));
    TRY(ahead_check(now_ms, ahead, set_points));
    if (done_mc_h >= crop->goal_mc_h) {
        out->reached = true;
        out->ready_ms = now_ms;
        return RESULT_OK;
    }
    out->remaining_mc_h = crop->goal_mc_h - done_mc_h;
    /* In mC ms, so that nothing is rounded on the way: at most 3.6e14. */
    int64_t left = out->remaining_mc_h * HOUR_MS;
    int64_t from_ms = now_ms;
    bool lever = false;
    for (size_t i = 0; i < set_points; i++) {
        bool last = i + 1 == set_points;
        if (!last && ahead[i + 1].from_ms <= now_ms) {
            continue;
        }
        if (!lever) {
            lever_fill(crop, ahead[i].temp_mc, out);
            lever = true;
        }
        int64_t rate = rate_mc(crop, ahead[i].temp_mc);
        int64_t stage_ms = last ? INT64_MAX : ahead[i + 1].from_ms - from_ms;
        int64_t need_ms = rate > 0 ? (left + rate - 1) / rate : INT64_MAX;
        if (rate > 0 && need_ms <= stage_ms) {
            out->ready_ms = from_ms + need_ms;
            return RESULT_OK;
        }
        left -= rate > 0 ? rate * stage_ms : 0;
        from_ms = last ? from_ms : ahead[i + 1].from_ms;
    }
    out->never = true;
    return RESULT_OK;
}
