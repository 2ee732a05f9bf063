/* Density, specific heat, conductivity and diffusivity of a food from what it is made of.
 *
 *   1/rho = sum X/rho_i    cp = sum X cp_i    k = rho sum (X/rho_i) k_i (parallel)   a = k/(rho cp)
 *
 * each component a polynomial of temperature. Not frozen, not porous.
 * Source: Choi and Okos 1986 (constants/heat.csv). */
#ifndef CALC_HEAT_FOOD_PROPERTIES_H
#define CALC_HEAT_FOOD_PROPERTIES_H

#include "base/result.h"

enum food_component {
    FOOD_WATER,
    FOOD_PROTEIN,
    FOOD_FAT,
    FOOD_CARBOHYDRATE,
    FOOD_FIBRE,
    FOOD_ASH,
    FOOD_COMPONENTS
};

struct food_properties {
    double density_kg_m3;
    double heat_j_kg_k;
    double conductivity_w_m_k;
    double diffusivity_m2_s;
};

/* share: mass fractions 0 .. 1 that sum to 1 within 0.002; temp_c 0 .. 150. FIELD_RANGE,
 * NUMBER_BAD on the component's name, sum, temp_c. */
MUST_USE struct result food_properties(const double share[FOOD_COMPONENTS], double temp_c,
                                       struct food_properties *out);
/* Juice: what is not water counts as carbohydrate. brix 0 .. 80. FIELD_RANGE on brix, temp_c. */
MUST_USE struct result juice_properties(double brix, double temp_c, struct food_properties *out);
/* Viscosity at temp_c from that at 20 C: eta20 e^(Ea/R (1/T - 1/293.15)), the unit of eta20.
 * viscosity_20 1e-6 .. 1e9, ea_j_mol 0 .. 1e6, temp_c 0 .. 150: FIELD_RANGE, NUMBER_BAD. */
MUST_USE struct result juice_viscosity(double viscosity_20, double ea_j_mol, double temp_c,
                                       double *out);
const char *food_component_name(enum food_component component);

#endif
