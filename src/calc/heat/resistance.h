/* Heat resistance in its several forms, and what a reduction leaves alive.
 *
 *   z = (T2 - T1) / log10(D1 / D2)         k = ln10 / D         z(C) = z(F) / 1.8
 *   D at another reference = D * 10^((Tref - T) / z)
 *   Ea = ln10 * R * T1 * T2 / z            T in kelvin, over the range T1 .. T2
 *   survivors N = N0 * 10^-R; at least one in mass m with probability 1 - e^(-N m)
 *
 * Source: closed forms, computed here. */
#ifndef CALC_HEAT_RESISTANCE_H
#define CALC_HEAT_RESISTANCE_H

#include "base/result.h"

#define FAHRENHEIT_PER_C 1.8

/* Temperatures -60 .. 300 C, different; times above 0, different the right way round (the hotter
 * one shorter). FIELD_RANGE, NUMBER_BAD on temp_1_c, temp_2_c, time_1, time_2. */
MUST_USE struct result resistance_z(double temp_1_c, double time_1, double temp_2_c, double time_2,
                                    double *out_z_c);
/* z_c above 0; low_c < high_c within -60 .. 300, or the same for one temperature. J/mol. */
MUST_USE struct result resistance_energy(double z_c, double low_c, double high_c, double *out);
/* The other way: z over that range from Ea in J/mol, above 0. */
MUST_USE struct result resistance_z_from_energy(double ea_j_mol, double low_c, double high_c,
                                                double *out_z_c);

struct survivors {
    double per_g;
    double in_mass;      /* expected number */
    double at_least_one; /* probability */
    double one_in;       /* packs of that mass for one that holds any; INFINITY where none */
};

/* initial_per_g 0 .. 1e12, reduction 0 .. 300, mass_g above 0 .. 1e12. */
MUST_USE struct result survivors(double initial_per_g, double reduction, double mass_g,
                                 struct survivors *out);

double celsius_from_fahrenheit(double temp_f);

#endif
