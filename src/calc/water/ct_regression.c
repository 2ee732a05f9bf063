#include "calc/water/ct_regression.h"

#include <math.h>

#include "calc/constants.gen.h"
#include "calc/range.h"

/* Smith, Clark and others 1995 - from memory; confirmed by lying just above every cell of the
 * table. */
struct exponential {
    double scale, offset, base, temp, chlorine, ph;
};

static const struct exponential cold = {
    CONSTANT_WATER_CT_COLD_SCALE, CONSTANT_WATER_CT_COLD_OFFSET,   CONSTANT_WATER_CT_COLD_BASE,
    CONSTANT_WATER_CT_COLD_TEMP,  CONSTANT_WATER_CT_COLD_CHLORINE, CONSTANT_WATER_CT_COLD_PH};
static const struct exponential warm = {
    CONSTANT_WATER_CT_WARM_SCALE, CONSTANT_WATER_CT_WARM_OFFSET,   CONSTANT_WATER_CT_WARM_BASE,
    CONSTANT_WATER_CT_WARM_TEMP,  CONSTANT_WATER_CT_WARM_CHLORINE, CONSTANT_WATER_CT_WARM_PH};

static struct result water_check(const struct ct_water *water)
{
    TRY(range_number("residual_mg_l", water->residual_mg_l, 0.1, 4));
    TRY(range_number("ph", water->ph, 6, 9));
    return range_number("temp_c", water->temp_c, 0.5, 30);
}

bool ct_regression_covers(const struct ct_water *water)
{
    return water_check(water).code == CODE_OK;
}

struct result ct_power(double log, const struct ct_water *water, double *out_ct)
{
    *out_ct = 0;
    TRY(range_number("log", log, 0, 3));
    TRY(water_check(water));
    *out_ct = CONSTANT_WATER_CT_POWER_SCALE * pow(water->ph, CONSTANT_WATER_CT_POWER_PH) *
              pow(water->residual_mg_l, CONSTANT_WATER_CT_POWER_CHLORINE) *
              pow(CONSTANT_WATER_CT_POWER_TEMP, water->temp_c - 5) * log;
    return RESULT_OK;
}

struct result ct_exponential(double log, const struct ct_water *water, double *out_ct)
{
    *out_ct = 0;
    TRY(range_number("log", log, 0, 3));
    TRY(water_check(water));
    const struct exponential *e = water->temp_c < CONSTANT_WATER_CT_WARM_FROM_C ? &cold : &warm;
    double power =
        e->base - e->temp * water->temp_c + e->chlorine * water->residual_mg_l + e->ph * water->ph;
    *out_ct = e->scale * log * (e->offset + exp(power));
    return RESULT_OK;
}
