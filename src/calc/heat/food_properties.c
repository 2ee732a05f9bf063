#include "calc/heat/food_properties.h"

#include <math.h>

#include "calc/constants.gen.h"
#include "calc/heat/within.h"

enum { DENSITY, HEAT, CONDUCTIVITY, PROPERTIES };

/* Powers 0, 1, 2 of the temperature in Celsius. */
static const double poly[FOOD_COMPONENTS][PROPERTIES][3] = {
    [FOOD_WATER] = {{CONSTANT_FOOD_WATER_DENSITY_0, CONSTANT_FOOD_WATER_DENSITY_1,
                     CONSTANT_FOOD_WATER_DENSITY_2},
                    {CONSTANT_FOOD_WATER_HEAT_0, CONSTANT_FOOD_WATER_HEAT_1,
                     CONSTANT_FOOD_WATER_HEAT_2},
                    {CONSTANT_FOOD_WATER_CONDUCTIVITY_0, CONSTANT_FOOD_WATER_CONDUCTIVITY_1,
                     CONSTANT_FOOD_WATER_CONDUCTIVITY_2}},
    [FOOD_PROTEIN] = {{CONSTANT_FOOD_PROTEIN_DENSITY_0, CONSTANT_FOOD_PROTEIN_DENSITY_1, 0},
                      {CONSTANT_FOOD_PROTEIN_HEAT_0, CONSTANT_FOOD_PROTEIN_HEAT_1,
                       CONSTANT_FOOD_PROTEIN_HEAT_2},
                      {CONSTANT_FOOD_PROTEIN_CONDUCTIVITY_0, CONSTANT_FOOD_PROTEIN_CONDUCTIVITY_1,
                       CONSTANT_FOOD_PROTEIN_CONDUCTIVITY_2}},
    [FOOD_FAT] = {{CONSTANT_FOOD_FAT_DENSITY_0, CONSTANT_FOOD_FAT_DENSITY_1, 0},
                  {CONSTANT_FOOD_FAT_HEAT_0, CONSTANT_FOOD_FAT_HEAT_1, CONSTANT_FOOD_FAT_HEAT_2},
                  {CONSTANT_FOOD_FAT_CONDUCTIVITY_0, CONSTANT_FOOD_FAT_CONDUCTIVITY_1,
                   CONSTANT_FOOD_FAT_CONDUCTIVITY_2}},
    [FOOD_CARBOHYDRATE] = {{CONSTANT_FOOD_CARBOHYDRATE_DENSITY_0,
                            CONSTANT_FOOD_CARBOHYDRATE_DENSITY_1, 0},
                           {CONSTANT_FOOD_CARBOHYDRATE_HEAT_0, CONSTANT_FOOD_CARBOHYDRATE_HEAT_1,
                            CONSTANT_FOOD_CARBOHYDRATE_HEAT_2},
                           {CONSTANT_FOOD_CARBOHYDRATE_CONDUCTIVITY_0,
                            CONSTANT_FOOD_CARBOHYDRATE_CONDUCTIVITY_1,
                            CONSTANT_FOOD_CARBOHYDRATE_CONDUCTIVITY_2}},
    [FOOD_FIBRE] = {{CONSTANT_FOOD_FIBRE_DENSITY_0, CONSTANT_FOOD_FIBRE_DENSITY_1, 0},
                    {CONSTANT_FOOD_FIBRE_HEAT_0, CONSTANT_FOOD_FIBRE_HEAT_1,
                     CONSTANT_FOOD_FIBRE_HEAT_2},
                    {CONSTANT_FOOD_FIBRE_CONDUCTIVITY_0, CONSTANT_FOOD_FIBRE_CONDUCTIVITY_1,
                     CONSTANT_FOOD_FIBRE_CONDUCTIVITY_2}},
    [FOOD_ASH] = {{CONSTANT_FOOD_ASH_DENSITY_0, CONSTANT_FOOD_ASH_DENSITY_1, 0},
                  {CONSTANT_FOOD_ASH_HEAT_0, CONSTANT_FOOD_ASH_HEAT_1, CONSTANT_FOOD_ASH_HEAT_2},
                  {CONSTANT_FOOD_ASH_CONDUCTIVITY_0, CONSTANT_FOOD_ASH_CONDUCTIVITY_1,
                   CONSTANT_FOOD_ASH_CONDUCTIVITY_2}},
};

const char *food_component_name(enum food_component component)
{
    static const char *const names[FOOD_COMPONENTS] = {"water",        "protein", "fat",
                                                       "carbohydrate", "fibre",   "ash"};
    return names[component];
}

static double poly_at(enum food_component component, int property, double temp_c)
{
    const double *c = poly[component][property];
    return c[0] + temp_c * (c[1] + temp_c * c[2]);
}

struct result food_properties(const double share[FOOD_COMPONENTS], double temp_c,
                              struct food_properties *out)
{
    double sum = 0, volume = 0, heat = 0, conducted = 0;
    *out = (struct food_properties){0};
    TRY(within("temp_c", temp_c, 0, 150, "from 0 to 150 C"));
    for (int i = 0; i < FOOD_COMPONENTS; i++) {
        TRY(within(food_component_name((enum food_component)i), share[i], 0, 1, "from 0 to 1"));
        double part = share[i] / poly_at((enum food_component)i, DENSITY, temp_c);
        sum += share[i];
        volume += part;
        heat += share[i] * poly_at((enum food_component)i, HEAT, temp_c);
        conducted += part * poly_at((enum food_component)i, CONDUCTIVITY, temp_c);
    }
    TRY(within("sum", sum, 0.998, 1.002, "1 within 0.002: the shares of all components"));
    out->density_kg_m3 = sum / volume;
    out->heat_j_kg_k = heat / sum;
    out->conductivity_w_m_k = conducted / volume;
    out->diffusivity_m2_s = out->conductivity_w_m_k / (out->density_kg_m3 * out->heat_j_kg_k);
    return RESULT_OK;
}

struct result juice_properties(double brix, double temp_c, struct food_properties *out)
{
    *out = (struct food_properties){0};
    TRY(within("brix", brix, 0, 80, "from 0 to 80 Brix"));
    const double share[FOOD_COMPONENTS] = {
        [FOOD_WATER] = 1 - brix / 100, [FOOD_CARBOHYDRATE] = brix / 100};
    return food_properties(share, temp_c, out);
}

struct result juice_viscosity(double viscosity_20, double ea_j_mol, double temp_c, double *out)
{
    *out = 0;
    TRY(within("viscosity_20", viscosity_20, 1e-6, 1e9, "from 1e-6 to 1e9"));
    TRY(within("ea_j_mol", ea_j_mol, 0, 1e6, "from 0 to 1000000 J/mol"));
    TRY(within("temp_c", temp_c, 0, 150, "from 0 to 150 C"));
    double inverse =
        1 / (temp_c + CONSTANT_HEAT_KELVIN_OFFSET_C) - 1 / (20 + CONSTANT_HEAT_KELVIN_OFFSET_C);
    *out = viscosity_20 * exp(ea_j_mol / CONSTANT_HEAT_GAS_J_MOL_K * inverse);
    return RESULT_OK;
}
