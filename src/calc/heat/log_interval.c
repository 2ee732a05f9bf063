#include "calc/heat/log_interval.h"

#include <math.h>

#include "base/check.h"
#include "calc/constants.gen.h"
#include "calc/heat/within.h"

struct result log_interval(double z_c, double ramp_c_s, double hold_s, enum log_place place,
                           struct log_interval *out)
{
    static const double usual_s[LOG_PLACES] = {
        [LOG_PLACE_HOLDING_TUBE] = CONSTANT_LOG_INTERVAL_HOLDING_TUBE_S,
        [LOG_PLACE_SEED_DIP] = CONSTANT_LOG_INTERVAL_SEED_DIP_S,
        [LOG_PLACE_BATCH_COOK] = CONSTANT_LOG_INTERVAL_BATCH_COOK_S,
        [LOG_PLACE_CHILL] = CONSTANT_LOG_INTERVAL_CHILL_S,
        [LOG_PLACE_STORE] = CONSTANT_LOG_INTERVAL_STORE_S,
    };
    CHECK(place < LOG_PLACES);
    *out = (struct log_interval){0};
    TRY(within("z_c", z_c, WITHIN_ABOVE_ZERO, 1e12, "above 0 C"));
    TRY(within("ramp_c_s", ramp_c_s, 0, 1000, "from 0 to 1000 C/s"));
    TRY(within("hold_s", hold_s, 0, 1e9, "from 0 to 1e9 s"));
    *out = (struct log_interval){
        .by_ramp_s = ramp_c_s > 0 ? CONSTANT_HEAT_COARSE_STEP_Z * z_c / ramp_c_s : INFINITY,
        .by_hold_s = hold_s > 0 ? CONSTANT_HEAT_HOLD_SHARE * hold_s : INFINITY,
        .by_place_s = usual_s[place],
    };
    out->longest_s = fmin(out->by_place_s, fmin(out->by_ramp_s, out->by_hold_s));
    return RESULT_OK;
}

bool log_interval_coarse(int64_t interval_ms, int64_t hold_ms)
{
    return (double)interval_ms > CONSTANT_HEAT_HOLD_SHARE * (double)hold_ms;
}
