#include "calc/water/dose_record.h"

#include <math.h>

#define MILLI 1000.0

struct result dose_record(const struct dose_record_product *product,
                          const struct dose_record_ask *ask, struct dose_record *out)
{
    double strength = (double)product->strength_milli / MILLI;
    struct dose_product p = {
        .substance = product->substance,
        .strength = product->form,
        .density_kg_l = (double)product->density_milli / MILLI,
        .substance_strength = product->of_chlorine ? 0 : strength,
        .available_strength = product->of_chlorine ? strength : 0,
    };
    struct dose_ask a = {
        .target_mg_l = (double)ask->target_milli / MILLI,
        .counts = ask->counts,
        .volume_l = (double)ask->volume_ml / MILLI,
        .now_mg_l = (double)ask->now_milli / MILLI,
    };
    struct dose d;
    *out = (struct dose_record){0};
    TRY(dosing(&p, &a, &d));
    *out = (struct dose_record){.product_mg = llround(d.product_g * MILLI),
                                .product_ul = llround(d.product_ml * MILLI),
                                .water_ml = (int64_t)ceil(d.water_l * MILLI)};
    return RESULT_OK;
}
