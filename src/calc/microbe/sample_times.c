#include "calc/microbe/sample_times.h"

#include "calc/range.h"

struct result sample_times(const struct sample_times *t, struct sample_times_report *out)
{
    *out = (struct sample_times_report){0};
    TRY(range_check("sampled", t->sampled_ms, 0, SAMPLE_TIMES_MAX_MS));
    TRY(range_check("transit", t->transit_ms, 0, SAMPLE_TIMES_MAX_MS));
    TRY(range_check("laboratory", t->laboratory_ms, 0, SAMPLE_TIMES_MAX_MS));
    TRY(range_check("needed", t->needed_ms, 0, SAMPLE_TIMES_MAX_MS));
    TRY(range_check("age_min", t->age_min_ms, 0, SAMPLE_TIMES_MAX_MS));
    int64_t wait_ms = t->transit_ms + t->laboratory_ms;
    out->result_ms = t->sampled_ms + wait_ms;
    out->slack_ms = t->needed_ms - out->result_ms;
    out->latest_ms = t->needed_ms - wait_ms;
    out->old_enough = t->sampled_ms >= t->age_min_ms;
    out->in_time = out->slack_ms >= 0;
    out->possible = out->latest_ms >= t->age_min_ms;
    return RESULT_OK;
}
