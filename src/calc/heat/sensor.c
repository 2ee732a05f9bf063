#include "calc/heat/sensor.h"

#include <math.h>

#include "calc/heat/heat_log.h"
#include "calc/heat/within.h"

#define Z_MAX_C 1e12

static const char doubt_words[] = "from 0 to 20 C";

struct result sensor_uncertainty(const struct sensor_doubt *doubt, double *out_c)
{
    *out_c = 0;
    TRY(within("certificate_c", doubt->certificate_c, 0, HEAT_UNCERTAINTY_MAX_C, doubt_words));
    TRY(within("drift_c", doubt->drift_c, 0, HEAT_UNCERTAINTY_MAX_C, doubt_words));
    TRY(within("resolution_c", doubt->resolution_c, 0, HEAT_UNCERTAINTY_MAX_C, doubt_words));
    double certificate = doubt->certificate_c / 2;
    double drift = doubt->drift_c / sqrt(3);
    double resolution = doubt->resolution_c / (2 * sqrt(3));
    *out_c = 2 * sqrt(certificate * certificate + drift * drift + resolution * resolution);
    return RESULT_OK;
}

struct result sensor_lag(double time_s, double gap_start_c, double gap_end_c, double *out_s)
{
    *out_s = 0;
    TRY(within("time_s", time_s, WITHIN_ABOVE_ZERO, 1e6, "above 0 s and at most 1000000 s"));
    TRY(within("gap_start_c", gap_start_c, WITHIN_ABOVE_ZERO, 400, "above 0 and at most 400 C"));
    TRY(within("gap_end_c", gap_end_c, 1e-9, 400, "above 0 and at most 400 C"));
    if (gap_end_c >= gap_start_c) {
        return within("gap_end_c", gap_end_c, 0, nextafter(gap_start_c, 0), "below gap_start_c");
    }
    double lag_s = time_s / log(gap_start_c / gap_end_c);
    TRY(finite_result("time_s", time_s, lag_s));
    *out_s = lag_s;
    return RESULT_OK;
}

struct result reading_factors(double z_c, double offset_c, const struct reading_error *error,
                              struct reading_factors *out)
{
    *out = (struct reading_factors){0};
    TRY(within("z_c", z_c, WITHIN_ABOVE_ZERO, Z_MAX_C, "above 0 C"));
    TRY(within("offset_c", offset_c, -400, 400, "from -400 to 400 C"));
    TRY(within("shift_c", error->shift_c, -HEAT_UNCERTAINTY_MAX_C, HEAT_UNCERTAINTY_MAX_C,
               "from -20 to 20 C"));
    TRY(within("noise_c", error->noise_c, 0, HEAT_UNCERTAINTY_MAX_C, doubt_words));
    TRY(within("fall_c_s", error->fall_c_s, 0, 1000, "from 0 to 1000 C/s"));
    TRY(within("lag_s", error->time_lag_s, 0, 1e6, "from 0 to 1000000 s"));
    double per_c = M_LN10 / z_c;
    double noise = per_c * error->noise_c;
    struct reading_factors r = {
        .shift = exp(per_c * error->shift_c),
        .noise = exp(noise * noise / 2),
        .lag = exp(per_c * error->fall_c_s * error->time_lag_s),
        .z_sensitivity = -per_c * offset_c / z_c,
    };
    TRY(finite_result("z_c", z_c, r.shift + r.noise + r.lag + r.z_sensitivity));
    *out = r;
    return RESULT_OK;
}
