/* The time at another temperature that is worth the same at the reference temperature, log-linear:
 *
 *   L = 10^((T - Tref) / z)      t(T) = t(Tref) / L */
#ifndef CALC_HEAT_EQUIVALENT_TIME_H
#define CALC_HEAT_EQUIVALENT_TIME_H

#include "base/result.h"

struct equivalent_time {
    double lethal_rate;
    double time_s;
};

/* time_s above 0 and at most 1e12; temp_c -60 .. 300; reference_c, z_c as in lethal_scale_make.
 * NUMBER_BAD, FIELD_RANGE, CALC_OVERFLOW (on z_c). */
MUST_USE struct result equivalent_time(double reference_c, double z_c, double time_at_reference_s,
                                       double temp_c, struct equivalent_time *out);

#endif
