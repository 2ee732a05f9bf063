/* Free chlorine in wash water: how it goes, what keeps it up, and what it does to E. coli O157:H7.
 *
 *   first order:   C = C0 e^(-k t)                       to hold it: k C V a time
 *   second order:  C = C0 (1 - R) / (1 - R e^(-u t))     Clark 1998 (from memory); what is left in
 *                  the end is C0 (1 - R)
 *   against a demand D0 of its own kind, by a rate K: R = D0/C0, u = K C0 (1 - R)     (derived)
 *   decimals killed = k integral of C dt / ln 10
 *
 * Rates of loss and kill: Dehghan Abnavi and others 2021 (published (abstract only)). */
#ifndef CALC_WATER_CHLORINE_DECAY_H
#define CALC_WATER_CHLORINE_DECAY_H

#include "base/result.h"

struct chlorine_hold {
    double half_life_min;
    double dose_g_h; /* chlorine, to keep the level */
};

/* start_mg_l 0 .. 1e5, rate_per_min 0 .. 1e4, time_min 0 .. 1e6. NUMBER_BAD, FIELD_RANGE. */
MUST_USE struct result chlorine_first(double start_mg_l, double rate_per_min, double time_min,
                                      double *out_mg_l);
/* ratio 0 .. 1, not 1; u_per_min 0 .. 1e4. */
MUST_USE struct result chlorine_second(double start_mg_l, double ratio, double u_per_min,
                                       double time_min, double *out_mg_l);
/* demand_mg_l (as chlorine) 0 .. 1e6; rate_per_um_min 0 .. 1 in 1/(umol/L min). */
MUST_USE struct result chlorine_demand(double start_mg_l, double demand_mg_l,
                                       double rate_per_um_min, double time_min, double *out_mg_l);
/* level_mg_l 0 .. 1e5, volume_l 0 .. 1e9, rate_per_min above 0. */
MUST_USE struct result chlorine_hold(double level_mg_l, double volume_l, double rate_per_min,
                                     struct chlorine_hold *out);
/* Level at the start, falling by first order (rate 0: it stays), over time_s 0 .. 1e6. kill in
 * L/(mg min), 0 .. 1e4. */
MUST_USE struct result chlorine_kill(double start_mg_l, double rate_per_min, double time_s,
                                     double kill_l_mg_min, double *out_log);

#endif
