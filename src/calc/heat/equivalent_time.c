#include "calc/heat/equivalent_time.h"

#include <math.h>
#include <stdio.h>

#include "calc/heat/heat_log.h"
#include "calc/heat/lethal_rate.h"

#define TIME_MAX_S 1e12

static struct result refused(const char *field, double value, const char *range)
{
    char text[40];
    if (!isfinite(value)) {
        return FAIL0(NUMBER_BAD, field);
    }
    snprintf(text, sizeof text, "%.6g", value);
    return FAIL2(FIELD_RANGE, field, text, range);
}

struct result equivalent_time(double reference_c, double z_c, double time_at_reference_s,
                              double temp_c, struct equivalent_time *out)
{
    struct lethal_scale scale;
    *out = (struct equivalent_time){0};
    TRY(lethal_scale_make(reference_c, z_c, -INFINITY, INFINITY, &scale));
    if (!(time_at_reference_s > 0 && time_at_reference_s <= TIME_MAX_S)) {
        return refused("time_s", time_at_reference_s, "above 0 s");
    }
    if (!(temp_c >= HEAT_TEMP_LOW_C && temp_c <= HEAT_TEMP_HIGH_C)) {
        return refused("temp_c", temp_c, "from -60 to 300 C");
    }
    double rate = lethal_rate(&scale, temp_c);
    double time_s = time_at_reference_s / rate;
    if (!isfinite(rate) || !isfinite(time_s)) {
        char text[40];
        snprintf(text, sizeof text, "%.6g", z_c);
        return FAIL1(CALC_OVERFLOW, "z_c", text);
    }
    *out = (struct equivalent_time){.lethal_rate = rate, .time_s = time_s};
    return RESULT_OK;
}
