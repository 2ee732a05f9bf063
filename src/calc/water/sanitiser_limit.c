#include "calc/water/sanitiser_limit.h"

#include <math.h>

#include "calc/constants.gen.h"
#include "calc/range.h"

struct sanitiser_limit sanitiser_limit(enum sanitiser sanitiser, enum sanitiser_use use)
{
    static const struct {
        enum sanitiser sanitiser;
        enum sanitiser_use use;
        double limit_mg_l;
        const char *constant;
    } limits[] = {
        {SANITISER_CHLORINE, SANITISER_WASH, CONSTANT_WATER_CHLORINE_WASH_MG_L,
         "water_chlorine_wash_mg_l"},
        {SANITISER_CHLORINE, SANITISER_RAW, CONSTANT_WATER_CHLORINE_WASH_MG_L,
         "water_chlorine_wash_mg_l"},
        {SANITISER_CHLORINE, SANITISER_SURFACE, CONSTANT_WATER_CHLORINE_SURFACE_MG_L,
         "water_chlorine_surface_mg_l"},
        {SANITISER_PERACID, SANITISER_WASH, CONSTANT_WATER_PERACID_WASH_MG_L,
         "water_peracid_wash_mg_l"},
        {SANITISER_PERACID, SANITISER_RAW, CONSTANT_WATER_PERACID_RAW_MG_L,
         "water_peracid_raw_mg_l"},
        {SANITISER_PERACID, SANITISER_SURFACE, CONSTANT_WATER_PERACID_SURFACE_MG_L,
         "water_peracid_surface_mg_l"},
        {SANITISER_IODINE, SANITISER_SURFACE, CONSTANT_WATER_IODINE_SURFACE_MG_L,
         "water_iodine_surface_mg_l"},
        {SANITISER_QUAT, SANITISER_SURFACE, CONSTANT_WATER_QUAT_SURFACE_MG_L,
         "water_quat_surface_mg_l"},
    };
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++) {
        if (limits[i].sanitiser == sanitiser && limits[i].use == use) {
            return (struct sanitiser_limit){true, limits[i].limit_mg_l, limits[i].constant};
        }
    }
    return (struct sanitiser_limit){0};
}

struct result peracid_check(const struct peracid_product *product, double target_mg_l,
                            enum sanitiser_use use, struct peracid_check *out)
{
    *out = (struct peracid_check){0};
    TRY(range_number("peracid_pct", product->peracid_pct, 0.001, 100));
    TRY(range_number("peroxide_pct", product->peroxide_pct, 0, 100));
    TRY(range_number("hedp_pct", product->hedp_pct, 0, 100));
    TRY(range_number("target_mg_l", target_mg_l, 0, 1e6));
    double peroxide = product->peroxide_pct / product->peracid_pct;
    double hedp = product->hedp_pct / product->peracid_pct;
    double most = sanitiser_limit(SANITISER_PERACID, use).limit_mg_l;
    if (use == SANITISER_WASH && peroxide > 0) {
        most = fmin(most, CONSTANT_WATER_PEROXIDE_WASH_MG_L / peroxide);
    }
    if (use == SANITISER_WASH && hedp > 0) {
        most = fmin(most, CONSTANT_WATER_HEDP_WASH_MG_L / hedp);
    }
    *out = (struct peracid_check){
        .peroxide_mg_l = target_mg_l * peroxide,
        .hedp_mg_l = target_mg_l * hedp,
        .peracid_max_mg_l = most,
        .within = target_mg_l <= most,
    };
    return RESULT_OK;
}
