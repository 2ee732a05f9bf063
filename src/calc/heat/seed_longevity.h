/* How long dry seed stays alive, hermetic and air-dry: the viability equation.
 *
 *   sigma = 10^(KE - CW log10 m - CH T - CQ T^2) days;  probit of germination v = Ki - p / sigma
 *
 * m: moisture in % of fresh weight, T in Celsius, p: days. Under changing temperature dv/dt =
 * -1/sigma(T). Source: Ellis and Roberts 1980 (constants/heat.csv). */
#ifndef CALC_HEAT_SEED_LONGEVITY_H
#define CALC_HEAT_SEED_LONGEVITY_H

#include "base/result.h"

struct longevity_species {
    const char *name;
    double ke, cw, ch, cq;
};

size_t longevity_species_count(void);
/* index < longevity_species_count() */
const struct longevity_species *longevity_species_at(size_t index);
/* NULL when there is no such name. */
const struct longevity_species *longevity_species_find(const char *name);

/* moisture_pct 1 .. 60, temp_c -60 .. 150: FIELD_RANGE, NUMBER_BAD. Outside 5 .. 25 % or
 * -20 .. 90 C it is extrapolated (longevity_extrapolates). */
MUST_USE struct result longevity_sigma_d(const struct longevity_species *s, double moisture_pct,
                                         double temp_c, double *out);
bool longevity_extrapolates(double moisture_pct, double temp_c);
/* Rise that makes sigma ten times shorter at temp_c. */
double longevity_z_c(const struct longevity_species *s, double temp_c);
/* Probits lost over a straight piece of history; moisture and temperatures in range (CHECK). */
double longevity_dose(const struct longevity_species *s, double moisture_pct, double days,
                      double from_c, double to_c);

/* share above 0 and below 1 (CHECK). */
double probit(double share);
double probit_share(double probits);

#endif
