#include "calc/water/uv.h"

#include <math.h>

#include "calc/range.h"

struct uv_row {
    double log;
    double dose_mj_cm2[3];
};

static const struct uv_row rows[] = {
#define UV_DOSE(log, cryptosporidium, giardia, virus) {log, {cryptosporidium, giardia, virus}},
#include "calc/water/uv_dose.def"
#undef UV_DOSE
};

enum { ROWS = sizeof rows / sizeof rows[0] };

struct result uv_credit(enum uv_organism organism, double red_mj_cm2, double validation_factor,
                        double *out_log)
{
    *out_log = 0;
    TRY(range_number("red_mj_cm2", red_mj_cm2, 0, 1e5));
    TRY(range_number("validation_factor", validation_factor, 1, 10));
    double dose = red_mj_cm2 / validation_factor;
    for (size_t i = 0; i < ROWS && rows[i].dose_mj_cm2[organism] <= dose; i++) {
        *out_log = rows[i].log;
    }
    return RESULT_OK;
}

struct result uv_water(double uvt_pct, double depth_cm, struct uv_water *out)
{
    *out = (struct uv_water){0};
    TRY(range_number("uvt_pct", uvt_pct, 0.01, 100));
    TRY(range_number("depth_cm", depth_cm, 0, 1000));
    double a = -log(uvt_pct / 100);
    double depth = a * depth_cm;
    *out = (struct uv_water){
        .absorbance_per_cm = a / log(10),
        .a_per_cm = a,
        .factor = depth > 0 ? -expm1(-depth) / depth : 1,
    };
    return RESULT_OK;
}
