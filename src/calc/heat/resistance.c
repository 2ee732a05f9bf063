#include "calc/heat/resistance.h"

#include <math.h>

#include "calc/constants.gen.h"
#include "calc/heat/heat_log.h"
#include "calc/heat/within.h"

static const char temp_words[] = "from -60 to 300 C";

double celsius_from_fahrenheit(double temp_f)
{
    return (temp_f - 32) / FAHRENHEIT_PER_C;
}

struct result resistance_z(double temp_1_c, double time_1, double temp_2_c, double time_2,
                           double *out_z_c)
{
    *out_z_c = 0;
    TRY(within("temp_1_c", temp_1_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C, temp_words));
    TRY(within("temp_2_c", temp_2_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C, temp_words));
    TRY(within("time_1", time_1, WITHIN_ABOVE_ZERO, 1e12, "above 0"));
    TRY(within("time_2", time_2, WITHIN_ABOVE_ZERO, 1e12, "above 0"));
    double decades = log10(time_1 / time_2);
    double z_c = (temp_2_c - temp_1_c) / decades;
    if (!(isfinite(z_c) && z_c > 0)) {
        return FAIL2(FIELD_RANGE, "time_2", "not shorter at the hotter of two temperatures",
                     "shorter there, at two different temperatures");
    }
    *out_z_c = z_c;
    return RESULT_OK;
}

static struct result range_kelvin(double low_c, double high_c, double *out_product)
{
    TRY(within("low_c", low_c, HEAT_TEMP_LOW_C, HEAT_TEMP_HIGH_C, temp_words));
    TRY(within("high_c", high_c, low_c, HEAT_TEMP_HIGH_C, "at least low_c and at most 300 C"));
    *out_product =
        (low_c + CONSTANT_HEAT_KELVIN_OFFSET_C) * (high_c + CONSTANT_HEAT_KELVIN_OFFSET_C);
    return RESULT_OK;
}

struct result resistance_energy(double z_c, double low_c, double high_c, double *out)
{
    double product;
    *out = 0;
    TRY(within("z_c", z_c, 1e-9, 1e12, "above 0 C"));
    TRY(range_kelvin(low_c, high_c, &product));
    *out = M_LN10 * CONSTANT_HEAT_GAS_J_MOL_K * product / z_c;
    return RESULT_OK;
}

struct result resistance_z_from_energy(double ea_j_mol, double low_c, double high_c,
                                       double *out_z_c)
{
    double product;
    *out_z_c = 0;
    TRY(within("ea_j_mol", ea_j_mol, 1e-3, 1e12, "above 0 J/mol"));
    TRY(range_kelvin(low_c, high_c, &product));
    *out_z_c = M_LN10 * CONSTANT_HEAT_GAS_J_MOL_K * product / ea_j_mol;
    return RESULT_OK;
}

struct result survivors(double initial_per_g, double reduction, double mass_g,
                        struct survivors *out)
{
    *out = (struct survivors){0};
    TRY(within("initial_per_g", initial_per_g, 0, 1e12, "from 0 to 1e12 per g"));
    TRY(within("reduction", reduction, 0, 300, "from 0 to 300 log10"));
    TRY(within("mass_g", mass_g, WITHIN_ABOVE_ZERO, 1e12, "above 0 g"));
    out->per_g = initial_per_g * pow(10, -reduction);
    out->in_mass = out->per_g * mass_g;
    out->at_least_one = -expm1(-out->in_mass);
    out->one_in = out->at_least_one > 0 ? 1 / out->at_least_one : INFINITY;
    return RESULT_OK;
}
