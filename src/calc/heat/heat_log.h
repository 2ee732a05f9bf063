/* The logged history of a heat treatment: times and, for each, the reading of every probe.
 *
 * A probe that dropped out is unknown, not ignored: leave the point out for all probes, so that it
 * counts as a gap. Times ascend; two points may share a time only with the same readings. */
#ifndef CALC_HEAT_HEAT_LOG_H
#define CALC_HEAT_HEAT_LOG_H

#include "base/result.h"

enum { HEAT_PROBES_MAX = 16 };

/* What a thermometer in water, air or seed can show; anything else is a broken probe. */
#define HEAT_TEMP_LOW_C (-60.0)
#define HEAT_TEMP_HIGH_C 300.0
#define HEAT_UNCERTAINTY_MAX_C 20.0
/* Instants beyond this (year 128 000) cannot be meant; within it, differences in microseconds fit
 * into 64 bits. */
#define HEAT_TIME_MAX_MS INT64_C(4000000000000000)

struct heat_log {
    size_t points;
    size_t probes;          /* 1 .. HEAT_PROBES_MAX */
    const int64_t *time_ms; /* [points] */
    const double *temp_c;   /* [point * probes + probe], -60 .. 300 */
    /* Expanded uncertainty (k = 2) of each probe with its channel and drift, 0 .. 20. */
    double uncertainty_c[HEAT_PROBES_MAX];
};

/* The same in the record's own integers. */
struct heat_log_mc {
    size_t points;
    size_t probes;
    const int64_t *time_ms;
    const int32_t *temp_mc;
    int32_t uncertainty_mc[HEAT_PROBES_MAX];
};

/* FIELD_RANGE (probes, uncertainty[k], points[i][k], points[i][0] for a time), NUMBER_BAD,
 * LOG_BACKWARDS, LOG_TWICE. Fewer than two points are no fault here. */
MUST_USE struct result heat_log_check(const struct heat_log *log);
MUST_USE struct result heat_log_mc_check(const struct heat_log_mc *log);
/* The readings in degrees Celsius, in the arena; times are borrowed. */
struct heat_log heat_log_from_mc(struct arena *a, const struct heat_log_mc *log);
/* The middle interval of the log (the lower one of two), 0 with fewer than two different times. */
int64_t heat_log_usual_ms(struct arena *a, const int64_t *time_ms, size_t points);
/* How long two readings may lie apart before the time between them is unknown: twice the usual
 * interval (common practice). */
int64_t heat_log_gap_max_ms(int64_t usual_ms);

#endif
