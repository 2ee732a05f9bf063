#include "calc/heat/newton_cooling.h"

#include <math.h>

#include "calc/heat/heat_log.h"
#include "calc/range.h"

/* A product does not come nearer to the air than this. */
#define NEAREST_C 0.001

struct result newton_factors(const struct newton_cooling *way, double *out)
{
    *out = 0;
    TRY(range_number("start_c", way->start_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C));
    TRY(range_number("target_c", way->target_c, HEAT_TEMP_LOW_C, way->start_c));
    TRY(range_number("ambient_c", way->ambient_c, HEAT_TEMP_LOW_C - 40, way->target_c - NEAREST_C));
    TRY(range_number("lag_j", way->lag_j, 0.1, 10));
    double ratio = way->lag_j * (way->start_c - way->ambient_c) / (way->target_c - way->ambient_c);
    *out = fmax(0, log10(ratio));
    return RESULT_OK;
}

struct result newton_time(const struct newton_cooling *way, double f_min, double *out_min)
{
    double factors = 0;
    *out_min = 0;
    TRY(newton_factors(way, &factors));
    TRY(range_number("f_min", f_min, 0.001, 1e6));
    *out_min = f_min * factors;
    return RESULT_OK;
}
