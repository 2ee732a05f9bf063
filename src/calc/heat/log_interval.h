/* How often a heat process must be logged.
 *
 *   by the ramp   dt <= z / 4 / |dT/dt|      a step of a quarter of z still costs under 3 %
 *   by the hold   dt <= hold / 5             a hold judged by fewer points is seen too late
 *   by the place  what is usual there
 *
 * Source: ratio of trapezoid to exact integral (computed here); a fifth of the hold and the usual
 * intervals are common practice (constants/heat.csv). */
#ifndef CALC_HEAT_LOG_INTERVAL_H
#define CALC_HEAT_LOG_INTERVAL_H

#include "base/result.h"

enum log_place {
    LOG_PLACE_HOLDING_TUBE,
    LOG_PLACE_SEED_DIP,
    LOG_PLACE_BATCH_COOK,
    LOG_PLACE_CHILL,
    LOG_PLACE_STORE,
    LOG_PLACES
};

struct log_interval {
    double by_ramp_s; /* INFINITY where the rate is 0 */
    double by_hold_s; /* INFINITY where there is no hold */
    double by_place_s;
    double longest_s; /* the smallest of them */
};

/* z_c above 0; ramp_c_s 0 .. 1000; hold_s 0 (none) .. 1e9. FIELD_RANGE, NUMBER_BAD. */
MUST_USE struct result log_interval(double z_c, double ramp_c_s, double hold_s,
                                    enum log_place place, struct log_interval *out);
/* Is this interval longer than a fifth of the hold? */
bool log_interval_coarse(int64_t interval_ms, int64_t hold_ms);

#endif
