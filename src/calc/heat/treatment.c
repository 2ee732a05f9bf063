#include "calc/heat/treatment.h"

#include <math.h>
#include <stdio.h>

/* The record's JSON carries no larger whole number. */
#define WHOLE_MAX 9007199254740991.0

static struct result whole_floor(double value, int64_t *out)
{
    double floored = floor(value);
    if (!(floored >= 0 && floored <= WHOLE_MAX)) {
        char text[40];
        snprintf(text, sizeof text, "%.6g", value);
        return FAIL1(CALC_OVERFLOW, "d_s", text);
    }
    *out = (int64_t)floored;
    return RESULT_OK;
}

/* A log without two times has no rhythm; any gap will do, since nothing is credited. */
static int64_t gap_max_of(struct arena *a, const struct heat_log_mc *log, int64_t given_ms)
{
    if (given_ms != 0 || log->points < 2) {
        return given_ms != 0 ? given_ms : 1;
    }
    int64_t gap_ms = heat_log_gap_max_ms(heat_log_usual_ms(a, log->time_ms, log->points));
    return gap_ms > 0 ? gap_ms : 1;
}

struct treatment_constants treatment_of_set(const struct lethal_set *set)
{
    return (struct treatment_constants){
        .reference_mc = (int32_t)lround(set->reference_c * 1000),
        .z_mc = (int32_t)lround(set->z_c * 1000),
        .d_ms = llround(set->d_s * 1000),
        .has_tested_max = set->has_tested_max,
        .tested_max_mc = (int32_t)lround(set->tested_max_c * 1000),
    };
}

struct result treatment_lethality(struct arena *a, const struct heat_log_mc *log,
                                  const struct treatment_constants *constants,
                                  struct treatment_lethality *out)
{
    *out = (struct treatment_lethality){0};
    TRY(heat_log_mc_check(log));
    struct heat_log readings = heat_log_from_mc(a, log);
    struct lethality_settings set = {
        .reference_c = constants->reference_mc / 1000.0,
        .z_c = constants->z_mc / 1000.0,
        .d_s = (double)constants->d_ms / 1000.0,
        .limit_c = constants->limit_mc / 1000.0,
        .has_tested_max = constants->has_tested_max,
        .tested_max_c = constants->tested_max_mc / 1000.0,
        .cut_low = constants->cut_low,
        .gap_max_ms = gap_max_of(a, log, constants->gap_max_ms),
        .gap = constants->gap,
        .heat_on_record = constants->heat_on_record,
        .window = constants->window,
    };
    struct lethality_report report;
    TRY(lethality(&readings, &set, &report));
    TRY(whole_floor(report.f_best_s * 1000, &out->f_best_ms));
    TRY(whole_floor(report.f_conservative_s * 1000, &out->f_conservative_ms));
    TRY(whole_floor(report.reduction_best * 1000, &out->reduction_best_milli));
    TRY(whole_floor(report.reduction_conservative * 1000, &out->reduction_conservative_milli));
    TRY(whole_floor(ceil(report.step_max_z * 1000), &out->step_max_milli_z));
    lethality_show(report.reduction_conservative, 0, out->shown);
    out->share_come_up_ppm = llround(report.share_come_up * 1e6);
    out->share_hold_ppm = llround(report.share_hold * 1e6);
    out->share_cooling_ppm = llround(report.share_cooling * 1e6);
    out->gap_longest_ms = report.gap_longest_ms;
    out->gap_max_ms = set.gap_max_ms;
    out->gaps = report.gaps;
    out->coldest_probe = report.coldest_probe;
    out->flags = report.flags;
    return RESULT_OK;
}
