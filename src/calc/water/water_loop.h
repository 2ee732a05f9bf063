/* Water that goes round: a closed loop that evaporates, and a share that is used again.
 *
 *   cycles N = M / (B + D), M = E + B + D        so  B = E / (N - 1) - D
 *   Xin = ((1 - r) Xf + r (1 - eta) dX) / (1 - r (1 - eta))       Xout = Xin + dX
 *
 * E evaporation, B blow-down, D drift, M make-up; r share used again, eta share that treatment
 * takes out, dX pick-up in one pass, Xf fresh water. Balances, computed here. */
#ifndef CALC_WATER_WATER_LOOP_H
#define CALC_WATER_WATER_LOOP_H

#include "base/result.h"

struct water_cycles {
    double blow_down_l_h; /* 0 where drift alone keeps the cycles below what is allowed */
    double make_up_l_h;
    double cycles; /* that come of it; 0 where nothing evaporates or leaves */
};

/* evaporation_l_h, drift_l_h 0 .. 1e9; cycles above 1, to 1000. NUMBER_BAD, FIELD_RANGE. */
MUST_USE struct result water_cycles(double evaporation_l_h, double drift_l_h, double cycles,
                                    struct water_cycles *out);

struct water_reuse {
    double in_mg_l; /* where it reaches the product */
    double out_mg_l;
};

/* reuse 0 .. 1, removal 0 .. 1, not reuse 1 without removal; fresh, pick_up 0 .. 1e6 mg/L.
 * NUMBER_BAD, FIELD_RANGE on reuse, removal, fresh_mg_l, pick_up_mg_l. */
MUST_USE struct result water_reuse(double reuse, double removal, double fresh_mg_l,
                                   double pick_up_mg_l, struct water_reuse *out);

#endif
