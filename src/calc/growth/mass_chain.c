#include "calc/growth/mass_chain.h"

#include <math.h>
#include <stdio.h>

#include "base/check.h"
#include "calc/constants.gen.h"
#include "calc/whole.h"

#define MASS_MAX_MG INT64_C(1000000000000)
#define PPM 1e6

static struct result number_check(const char *field, double value, double low, double high)
{
    if (!isfinite(value)) {
        return FAIL0(NUMBER_BAD, field);
    }
    if (value >= low && value <= high) {
        return RESULT_OK;
    }
    char text[40], range[64];
    snprintf(text, sizeof text, "%.6g", value);
    snprintf(range, sizeof range, "from %.6g to %.6g", low, high);
    return FAIL2(FIELD_RANGE, field, text, range);
}

struct mass_chain mass_chain_default(void)
{
    return (struct mass_chain){.expansion = CONSTANT_MASS_CHAIN_EXPANSION,
                               .hull = CONSTANT_MASS_CHAIN_HULL,
                               .trim = CONSTANT_MASS_CHAIN_TRIM,
                               .cull = CONSTANT_MASS_CHAIN_CULL,
                               .wet = CONSTANT_MASS_CHAIN_WET};
}

struct mass_chain mass_chain_from_ppm(int64_t expansion_ppm, int64_t hull_ppm, int64_t trim_ppm,
                                      int64_t cull_ppm, int64_t wet_ppm)
{
    return (struct mass_chain){.expansion = (double)expansion_ppm / PPM,
                               .hull = (double)hull_ppm / PPM,
                               .trim = (double)trim_ppm / PPM,
                               .cull = (double)cull_ppm / PPM,
                               .wet = (double)wet_ppm / PPM};
}

struct result mass_chain_check(const struct mass_chain *chain)
{
    TRY(number_check("expansion", chain->expansion, 1, 14));
    TRY(number_check("hull", chain->hull, 0, 0.9));
    TRY(number_check("trim", chain->trim, 0, 0.9));
    TRY(number_check("cull", chain->cull, 0, 0.9));
    return number_check("wet", chain->wet, 0, 0.5);
}

double mass_chain_factor(const struct mass_chain *chain)
{
    double factor = chain->expansion * (1 - chain->hull) * (1 - chain->trim) * (1 - chain->cull) *
                    (1 + chain->wet);
    CHECK(factor > 0 && isfinite(factor));
    return factor;
}

struct result mass_chain_packed(const struct mass_chain *chain, int64_t seed_mg,
                                int64_t *out_packed_mg)
{
    *out_packed_mg = 0;
    TRY(mass_chain_check(chain));
    TRY(number_check("seed_mg", (double)seed_mg, 0, (double)MASS_MAX_MG));
    *out_packed_mg = whole_down((double)seed_mg * mass_chain_factor(chain));
    return RESULT_OK;
}

struct result mass_chain_seed(const struct mass_chain *chain, int64_t packed_mg,
                              int64_t *out_seed_mg)
{
    *out_seed_mg = 0;
    TRY(mass_chain_check(chain));
    TRY(number_check("packed_mg", (double)packed_mg, 0, (double)MASS_MAX_MG));
    *out_seed_mg = whole_up((double)packed_mg / mass_chain_factor(chain));
    return RESULT_OK;
}

struct result mass_chain_lot_expansion(int64_t expansion_ppm, int64_t pls_ppm,
                                       int64_t reference_ppm, int64_t *out_ppm)
{
    *out_ppm = 0;
    TRY(number_check("expansion_ppm", (double)expansion_ppm, PPM, 14 * PPM));
    TRY(number_check("pls_ppm", (double)pls_ppm, 1, PPM));
    TRY(number_check("reference_ppm", (double)reference_ppm, 1, PPM));
    *out_ppm = expansion_ppm * pls_ppm / reference_ppm;
    return RESULT_OK;
}

struct result dry_matter(double expansion, double moisture_pct, double loss, struct dry_matter *out)
{
    *out = (struct dry_matter){0};
    TRY(number_check("expansion", expansion, 1, 14));
    TRY(number_check("moisture_pct", moisture_pct, 2, 60));
    TRY(number_check("loss", loss, 0, 0.5));
    double moisture = moisture_pct / 100;
    out->seed_dry_kg_kg = 1 - moisture;
    out->sprout_dry_kg_kg = (1 - moisture) * (1 - loss);
    out->breathed_kg_kg = (1 - moisture) * loss;
    out->water_uptake_kg_kg = expansion - out->sprout_dry_kg_kg - moisture;
    out->sprout_dry_pct = 100 * out->sprout_dry_kg_kg / expansion;
    out->sprout_water_pct = 100 - out->sprout_dry_pct;
    return RESULT_OK;
}

struct result bed_packing(double seed_kg, double expansion, double box_l, double bed_kg,
                          struct bed_packing *out)
{
    *out = (struct bed_packing){0};
    TRY(number_check("seed_kg", seed_kg, 1e-9, 1e9));
    TRY(number_check("expansion", expansion, 1, 14));
    TRY(number_check("box_l", box_l, 1e-9, 1e9));
    TRY(number_check("bed_kg", bed_kg, 1e-9, 1e9));
    out->density_kg_m3 = seed_kg * expansion / (box_l / 1000);
    out->volume_m3 = bed_kg / out->density_kg_m3;
    return RESULT_OK;
}
