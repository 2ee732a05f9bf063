/* D from survivors and z from D's, each with its 95 % interval.
 *
 *   D = -1/b of log10 N on time; interval (-1/(b - t SE), -1/(b + t SE))
 *   z = -1/b of log10 D on temperature; the same
 *   reduction at time t, one-sided 95 % lower bound: (|b| - t_0.95 SE) * t
 *
 * The interval comes from inverting that of the slope; where the slope may be level its upper end
 * is not determined (INFINITY). Points from the first "none detected" on are left out: what stands
 * in for them would bend the line. Source: normal theory of the straight line, computed here. */
#ifndef CALC_HEAT_RESISTANCE_FIT_H
#define CALC_HEAT_RESISTANCE_FIT_H

#include "base/arena.h"
#include "calc/heat/line_fit.h"

struct resistance_fit {
    struct line_fit line;
    double value; /* D or z */
    double low;
    double high;     /* INFINITY: not determined */
    size_t left_out; /* survivors only: points at or after the first with none detected */
};

/* time and log_count[n], time 0 .. 1e12, log_count -20 .. 20; first_none: time of the first sample
 * in which none were detected, INFINITY where there was none. FIELD_RANGE, NUMBER_BAD on points;
 * FIELD_RANGE on points where the counts do not fall or fewer than two are left. */
MUST_USE struct result resistance_fit_d(struct arena *a, const double *time,
                                        const double *log_count, size_t n, double first_none,
                                        struct resistance_fit *out);
/* The part of a reduction after time that 95 of 100 such experiments support; 0 at least. */
double resistance_reduction_low(const struct resistance_fit *fit, double time);

/* temp[n] -200 .. 600 in either unit, time[n] above 0: D's or other times with one effect. The
 * interval of z is in the unit of temp. FIELD_RANGE, NUMBER_BAD on points. */
MUST_USE struct result resistance_fit_z(struct arena *a, const double *temp, const double *time,
                                        size_t n, struct resistance_fit *out);
/* The time at temp by the line, and its one-sided 95 % upper end (INFINITY: not determined). */
double resistance_time_at(const struct resistance_fit *fit, double temp, double *out_high);

#endif
