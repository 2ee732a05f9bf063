/* Two published curves through the CT tables of Giardia by free chlorine, for comparison with them.
 *
 *   power:        CT = 0.2828 pH^2.69 Cl^0.15 0.933^(T-5) L              published (seen)
 *   exponential:  below 12.5 C   CT = .353 L (12.006 + e^(2.46 - .073 T + .125 Cl + .389 pH))
 *                 from 12.5 C on CT = .361 L (-2.261 + e^(2.69 - .065 T + .111 Cl + .361 pH))
 *                 (Smith, Clark and others 1995)                         from memory
 *
 * Against the 588 cells of the table the power curve gives 0.888 to 1.081 of it, so it must never
 * release anything; the exponential one gives 1.0001 to 1.174 (computed here). */
#ifndef CALC_WATER_CT_REGRESSION_H
#define CALC_WATER_CT_REGRESSION_H

#include "calc/water/ct_table.h"

/* log wanted 0 .. 3; residual_mg_l 0.1 .. 4, ph 6 .. 9, temp_c 0.5 .. 30. NUMBER_BAD, FIELD_RANGE
 * on log, residual_mg_l, ph, temp_c. */
MUST_USE struct result ct_power(double log, const struct ct_water *water, double *out_ct);
MUST_USE struct result ct_exponential(double log, const struct ct_water *water, double *out_ct);
/* Whether the water lies in that range. */
bool ct_regression_covers(const struct ct_water *water);

#endif
