#include "calc/water/breakpoint.h"

#include "calc/constants.gen.h"
#include "calc/range.h"

#define MG_L_MAX 1000.0

struct result breakpoint_dose(double ammonia_n_mg_l, double demand_mg_l, double residual_mg_l,
                              double ratio, struct breakpoint *out)
{
    *out = (struct breakpoint){0};
    TRY(range_number("ammonia_n_mg_l", ammonia_n_mg_l, 0, MG_L_MAX));
    TRY(range_number("demand_mg_l", demand_mg_l, 0, MG_L_MAX));
    TRY(range_number("residual_mg_l", residual_mg_l, 0, MG_L_MAX));
    TRY(range_number("ratio", ratio, 7.5, 15));
    out->breakpoint_mg_l = ratio * ammonia_n_mg_l;
    out->monochloramine_mg_l = CONSTANT_WATER_MONOCHLORAMINE_STOICHIOMETRIC * ammonia_n_mg_l;
    out->dose_mg_l = out->breakpoint_mg_l + demand_mg_l + residual_mg_l;
    return RESULT_OK;
}
