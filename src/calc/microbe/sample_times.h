/* When a batch must be sampled so that its result is there before it is needed.
 *
 *   result = sampled + transit + laboratory; slack = needed - result;
 *   latest sample = needed - transit - laboratory
 *
 * All in ms from the start of sprouting, 0 .. SAMPLE_TIMES_MAX_MS. US and EU texts want samples
 * from about 48 h on (constants/microbe.csv). */
#ifndef CALC_MICROBE_SAMPLE_TIMES_H
#define CALC_MICROBE_SAMPLE_TIMES_H

#include "base/result.h"

#define SAMPLE_TIMES_MAX_MS INT64_C(1000000000000)

struct sample_times {
    int64_t sampled_ms;
    int64_t transit_ms;
    int64_t laboratory_ms;
    int64_t needed_ms;  /* harvest, or when the batch is to leave */
    int64_t age_min_ms; /* no sample before it counts */
};

struct sample_times_report {
    int64_t result_ms;
    int64_t slack_ms;  /* below zero: the result comes too late */
    int64_t latest_ms; /* may lie below zero */
    bool old_enough;   /* sampled_ms >= age_min_ms */
    bool in_time;      /* slack_ms >= 0 */
    bool possible;     /* some time is old enough and early enough */
};

/* FIELD_RANGE with the name of the member, less its unit. */
MUST_USE struct result sample_times(const struct sample_times *t, struct sample_times_report *out);

#endif
