#include "calc/water/chlorine_decay.h"

#include <math.h>

#include "calc/constants.gen.h"
#include "calc/range.h"

#define LEVEL_MAX 1e5
#define TIME_MAX 1e6
#define RATE_MAX 1e4
#define UMOL_PER_MMOL 1000.0

static struct result start_check(double start_mg_l, double time_min)
{
    TRY(range_number("start_mg_l", start_mg_l, 0, LEVEL_MAX));
    return range_number("time_min", time_min, 0, TIME_MAX);
}

struct result chlorine_first(double start_mg_l, double rate_per_min, double time_min,
                             double *out_mg_l)
{
    *out_mg_l = 0;
    TRY(start_check(start_mg_l, time_min));
    TRY(range_number("rate_per_min", rate_per_min, 0, RATE_MAX));
    *out_mg_l = start_mg_l * exp(-rate_per_min * time_min);
    return RESULT_OK;
}

struct result chlorine_second(double start_mg_l, double ratio, double u_per_min, double time_min,
                              double *out_mg_l)
{
    *out_mg_l = 0;
    TRY(start_check(start_mg_l, time_min));
    TRY(range_number("ratio", ratio, 0, 0.999999));
    TRY(range_number("u_per_min", u_per_min, 0, RATE_MAX));
    *out_mg_l = start_mg_l * (1 - ratio) / (1 - ratio * exp(-u_per_min * time_min));
    return RESULT_OK;
}

struct result chlorine_demand(double start_mg_l, double demand_mg_l, double rate_per_um_min,
                              double time_min, double *out_mg_l)
{
    *out_mg_l = 0;
    TRY(start_check(start_mg_l, time_min));
    TRY(range_number("demand_mg_l", demand_mg_l, 0, 1e6));
    TRY(range_number("rate_per_um_min", rate_per_um_min, 0, 1));
    if (start_mg_l == 0) {
        return RESULT_OK;
    }
    double per_mg = rate_per_um_min * UMOL_PER_MMOL / CONSTANT_WATER_CHLORINE_G_MOL;
    double over = start_mg_l - demand_mg_l;
    /* C0 / (1 + D0 (1 - e^(-K over t)) / over), which holds for more, less and equal demand. */
    double met = over == 0 ? per_mg * time_min : -expm1(-per_mg * over * time_min) / over;
    *out_mg_l = start_mg_l / (1 + demand_mg_l * met);
    return RESULT_OK;
}

struct result chlorine_hold(double level_mg_l, double volume_l, double rate_per_min,
                            struct chlorine_hold *out)
{
    *out = (struct chlorine_hold){0};
    TRY(range_number("level_mg_l", level_mg_l, 0, LEVEL_MAX));
    TRY(range_number("volume_l", volume_l, 0, 1e9));
    TRY(range_number("rate_per_min", rate_per_min, 1e-9, RATE_MAX));
    out->half_life_min = log(2) / rate_per_min;
    out->dose_g_h = rate_per_min * 60 * level_mg_l * volume_l / 1000;
    return RESULT_OK;
}

struct result chlorine_kill(double start_mg_l, double rate_per_min, double time_s,
                            double kill_l_mg_min, double *out_log)
{
    *out_log = 0;
    TRY(range_number("start_mg_l", start_mg_l, 0, LEVEL_MAX));
    TRY(range_number("rate_per_min", rate_per_min, 0, RATE_MAX));
    TRY(range_number("time_s", time_s, 0, TIME_MAX));
    TRY(range_number("kill_l_mg_min", kill_l_mg_min, 0, RATE_MAX));
    double time_min = time_s / 60;
    double worth_min =
        rate_per_min > 0 ? -expm1(-rate_per_min * time_min) / rate_per_min : time_min;
    *out_log = kill_l_mg_min * start_mg_l * worth_min / log(10);
    return RESULT_OK;
}
