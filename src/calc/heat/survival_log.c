#include "calc/heat/survival_log.h"

#include <math.h>

#include "base/check.h"
#include "calc/heat/survival.h"
#include "calc/heat/within.h"
#include "calc/sum.h"

#define MS_PER_MIN 60000.0

/* The coldest reading of a point, and the coldest less its uncertainty. */
static double coldest(const struct heat_log *log, size_t point, double *out_safe_c)
{
    double temp_c = INFINITY;
    *out_safe_c = INFINITY;
    for (size_t k = 0; k < log->probes; k++) {
        double reading_c = log->temp_c[point * log->probes + k];
        temp_c = fmin(temp_c, reading_c);
        *out_safe_c = fmin(*out_safe_c, reading_c - log->uncertainty_c[k]);
    }
    return temp_c;
}

static size_t last_highest(const struct heat_log *log)
{
    double highest_c = -INFINITY, safe_c;
    size_t at = 0;
    for (size_t i = 0; i < log->points; i++) {
        double temp_c = coldest(log, i, &safe_c);
        if (temp_c >= highest_c) {
            highest_c = temp_c;
            at = i;
        }
    }
    return at;
}

struct result survival_peleg_log(const struct heat_log *log, double kb_per_c, double tc_c, double n,
                                 int64_t gap_max_ms, struct survival_peleg_log *out)
{
    struct sum best = {0}, safe = {0};
    double from_safe_c, to_safe_c;
    *out = (struct survival_peleg_log){0};
    CHECK(gap_max_ms > 0);
    TRY(within("kb_per_c", kb_per_c, 1e-3, 100, "from 0.001 to 100 per C"));
    TRY(within("tc_c", tc_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C, "from -60 to 300 C"));
    TRY(within("shape", n, 0.05, 20, "from 0.05 to 20"));
    TRY(heat_log_check(log));
    size_t peak = last_highest(log);
    size_t gaps = 0;
    for (size_t i = 1; i < log->points; i++) {
        int64_t dt_ms = log->time_ms[i] - log->time_ms[i - 1];
        double minutes = (double)dt_ms / MS_PER_MIN;
        double from_c = coldest(log, i - 1, &from_safe_c);
        double to_c = coldest(log, i, &to_safe_c);
        if (dt_ms > gap_max_ms) {
            gaps++;
            continue;
        }
        sum_add(&best, survival_peleg_dose(kb_per_c, tc_c, n, minutes, from_c, to_c));
        if (i <= peak) {
            sum_add(&safe, survival_peleg_dose(kb_per_c, tc_c, n, minutes, from_safe_c, to_safe_c));
        }
    }
    TRY(finite_result("shape", n, sum_value(&best)));
    *out = (struct survival_peleg_log){
        .best = sum_value(&best), .safe = fmin(sum_value(&best), sum_value(&safe)), .gaps = gaps};
    return RESULT_OK;
}
