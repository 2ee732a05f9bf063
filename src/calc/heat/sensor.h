/* What a thermometer's reading may be wrong by, and what that does to a lethality.
 *
 *   U = 2 * sqrt((U_cal / 2)^2 + (drift / sqrt 3)^2 + (resolution / (2 sqrt 3))^2)      k = 2
 *
 * The certificate's expanded uncertainty is halved to one standard deviation; drift since the last
 * calibration is rectangular with that half-width, the resolution rectangular over one step.
 *
 * Source: rules for combining rectangular and normal contributions, computed here. */
#ifndef CALC_HEAT_SENSOR_H
#define CALC_HEAT_SENSOR_H

#include "base/result.h"

struct sensor_doubt {
    double certificate_c; /* expanded uncertainty (k = 2) on the certificate, 0 .. 20 */
    double drift_c;       /* largest drift since then, either way, 0 .. 20 */
    double resolution_c;  /* one step of the display or logger, 0 .. 20 */
};

/* FIELD_RANGE, NUMBER_BAD on certificate_c, drift_c, resolution_c. */
MUST_USE struct result sensor_uncertainty(const struct sensor_doubt *doubt, double *out_c);

/* Time constant of a first-order probe that, moved to another bath, closes the gap between its
 * reading and the bath from gap_start_c to gap_end_c within time_s: time / ln(start / end).
 * time_s above 0 and at most 1e6; 0 < gap_end_c < gap_start_c <= 400. */
MUST_USE struct result sensor_lag(double time_s, double gap_start_c, double gap_end_c,
                                  double *out_s);

struct reading_error {
    double shift_c;    /* readings too high by it, -20 .. 20 */
    double noise_c;    /* standard deviation of random noise, 0 .. 20 */
    double fall_c_s;   /* rate of a cooling ramp, 0 .. 1000 */
    double time_lag_s; /* time constant of the probe, 0 .. 1e6 */
};

/* By how much each makes a lethality too large; 1: not at all. */
struct reading_factors {
    double shift;         /* 10^(shift / z) */
    double noise;         /* exp((ln10 * noise / z)^2 / 2) */
    double lag;           /* 10^(rate * lag / z), on the cooling ramp */
    double z_sensitivity; /* d ln F / dz at that temperature, per C */
};

/* z_c above 0. FIELD_RANGE, NUMBER_BAD; CALC_OVERFLOW on z_c. offset_c: temperature less the
 * reference, for the sensitivity to z, -400 .. 400. */
MUST_USE struct result reading_factors(double z_c, double offset_c,
                                       const struct reading_error *error,
                                       struct reading_factors *out);

#endif
