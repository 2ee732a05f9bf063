/* How much of the free chlorine is hypochlorous acid, the part that kills.
 *
 *   pKa = 3000/K - 10.0686 + 0.0253 K, K in kelvin      share = 1 / (1 + 10^(pH - pKa))
 *
 * Morris 1966, Journal of Physical Chemistry 70:3798-3805 - from memory; at 25 C it gives 7.537
 * where Davis, Water and Wastewater Engineering, example 13-1, has 7.54 (published (seen)). */
#ifndef CALC_WATER_HOCL_H
#define CALC_WATER_HOCL_H

#include <stdbool.h>

#include "base/result.h"

struct hocl {
    double pka;
    double hocl; /* 0 .. 1 */
    double ocl;  /* 1 - hocl */
};

/* temp_c 0 .. 50. NUMBER_BAD, FIELD_RANGE on temp_c. */
MUST_USE struct result hocl_pka(double temp_c, double *out_pka);
/* ph 0 .. 14, pka 4 .. 11. NUMBER_BAD, FIELD_RANGE on ph, pka. */
MUST_USE struct result hocl_share(double ph, double pka, struct hocl *out);
/* The pH at which the share is just this; share between 0 and 1, both out. FIELD_RANGE on
 * hocl_pct. */
MUST_USE struct result hocl_ph(double share, double pka, double *out_ph);

/* For the record, in thousandths: chlorine mg/L, pH, temperature C -> mg/L of hypochlorous acid,
 * rounded down. false: beyond the formula, there is none. */
bool hocl_milli(int64_t chlorine_milli, int64_t ph_milli, int64_t temp_mc, int64_t *out_milli);

#endif
