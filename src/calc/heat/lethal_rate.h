/* Lethal rate, and its integral over one straight piece of a temperature history.
 *
 *   L(T) = 10^((T - Tref) / z)                     time at Tref that a moment at T is worth
 *   F    = dt * L1 * (e^u - 1) / u,  u = ln10 * (T2 - T1) / z      exact for T linear in time
 *
 * A trapezoid over the rates would always overstate the kill: the rate is convex in time. */
#ifndef CALC_HEAT_LETHAL_RATE_H
#define CALC_HEAT_LETHAL_RATE_H

#include "base/result.h"

struct lethal_scale {
    double reference_c;
    double z_c;
    double per_c;    /* ln 10 / z */
    double floor_c;  /* nothing below it is credited; -INFINITY: no lower cut-off */
    double cap_c;    /* nothing above it is credited more than it; INFINITY: no cap */
    double cap_rate; /* L(cap_c) */
};

/* reference -60 .. 300, z above 0 and up to 1e12 (a very large z turns F into plain time).
 * NUMBER_BAD or FIELD_RANGE on reference_c, z_c, floor_c, cap_c. */
MUST_USE struct result lethal_scale_make(double reference_c, double z_c, double floor_c,
                                         double cap_c, struct lethal_scale *out);
double lethal_rate(const struct lethal_scale *scale, double temp_c);
/* Does the straight piece keep clear of floor and cap? */
static inline bool lethal_uncut(const struct lethal_scale *scale, double from_c, double to_c)
{
    return from_c >= scale->floor_c && to_c >= scale->floor_c && from_c <= scale->cap_c &&
           to_c <= scale->cap_c;
}
/* The exact integral of L, without floor and cap, from the rates at both ends. */
double lethal_linear_s(const struct lethal_scale *scale, double dt_s, double from_c,
                       double from_rate, double to_c, double to_rate);
/* The same with floor and cap, split exactly where the straight line crosses them. */
double lethal_credit_s(const struct lethal_scale *scale, double dt_s, double from_c,
                       double from_rate, double to_c, double to_rate);
/* The same again for ends whose rates are not at hand. */
double lethal_piece_s(const struct lethal_scale *scale, double dt_s, double from_c, double to_c);

#endif
