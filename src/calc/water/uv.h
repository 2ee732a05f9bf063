/* Ultraviolet light: the decimals that a validated dose is worth, and what water leaves of it.
 *
 *   credit = the largest log of the table whose dose is at or below RED / VF
 *   A = -log10(UVT per cm), a = A ln 10, mean over a depth L = I0 (1 - e^(-a L)) / (a L)
 *
 * Doses and their source in uv_dose.def; RED reduction-equivalent dose, VF validation factor. */
#ifndef CALC_WATER_UV_H
#define CALC_WATER_UV_H

#include "base/result.h"

enum uv_organism { UV_CRYPTOSPORIDIUM, UV_GIARDIA, UV_VIRUS };

/* red_mj_cm2 0 .. 1e5, validation_factor 1 .. 10. 0 below the first row. NUMBER_BAD, FIELD_RANGE.
 */
MUST_USE struct result uv_credit(enum uv_organism organism, double red_mj_cm2,
                                 double validation_factor, double *out_log);
struct uv_water {
    double absorbance_per_cm; /* decadic */
    double a_per_cm;          /* natural */
    double factor;            /* mean over surface intensity */
};

/* uvt_pct (transmittance of 1 cm) above 0, to 100; depth_cm 0 .. 1000. */
MUST_USE struct result uv_water(double uvt_pct, double depth_cm, struct uv_water *out);

#endif
