/* The chlorine that water takes before free chlorine stays in it:
 *
 *   dose = ratio * ammonia nitrogen + other demand + residual wanted      (mg/L)
 *
 * The ratio in theory is 7.6 by mass; plants need 10 to 15 (published (seen)). */
#ifndef CALC_WATER_BREAKPOINT_H
#define CALC_WATER_BREAKPOINT_H

#include "base/result.h"

struct breakpoint {
    double dose_mg_l;
    double breakpoint_mg_l;     /* taken by the ammonia alone */
    double monochloramine_mg_l; /* up to here ammonia only turns into monochloramine */
};

/* ammonia_n_mg_l, demand_mg_l, residual_mg_l 0 .. 1000; ratio 7.5 .. 15. NUMBER_BAD, FIELD_RANGE
 * on the field's name. */
MUST_USE struct result breakpoint_dose(double ammonia_n_mg_l, double demand_mg_l,
                                       double residual_mg_l, double ratio, struct breakpoint *out);

#endif
