#include "calc/microbe/detection_gain.h"

#include <math.h>

#include "calc/range.h"

struct result detection_gain(const struct detection_gain *g, struct detection_gain_report *out)
{
    *out = (struct detection_gain_report){0};
    TRY(range_number("cells", g->cells, 0, 1e12));
    TRY(range_number("rise_log10", g->rise_log10, -5, 15));
    TRY(range_number("shed", g->shed, 0, 1));
    TRY(range_number("water_l", g->water_l, 1e-6, 1e9));
    TRY(range_number("sample_l", g->sample_l, 0, g->water_l));
    double at_first = g->cells * g->shed / g->water_l;
    out->cells_per_l = at_first * pow(10, g->rise_log10);
    out->chance = -expm1(-out->cells_per_l * g->sample_l);
    out->chance_unwaited = -expm1(-at_first * g->sample_l);
    return RESULT_OK;
}
