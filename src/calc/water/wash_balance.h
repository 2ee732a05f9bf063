/* What builds up in recirculated wash water, mixed as one tank:
 *
 *   V dX/dt = G + Qm Xin - Qm X - k V X      Qm = blow-down + carry-out, made up by fresh water
 *   X(t) = Xss + (X0 - Xss) e^(-t (Qm/V + k))      Xss = (G + Qm Xin) / (Qm + k V)
 *
 * Without make-up and decay it rises in a straight line and has no steady state. Computed here. */
#ifndef CALC_WATER_WASH_BALANCE_H
#define CALC_WATER_WASH_BALANCE_H

#include "base/result.h"

struct wash_loop {
    double volume_l;      /* 1e-3 .. 1e9 */
    double load_g_h;      /* washed off the product, 0 .. 1e9 */
    double supply_mg_l;   /* in the fresh water, 0 .. 1e6 */
    double blow_down_l_h; /* drained, 0 .. 1e9 */
    double carry_out_l_h; /* leaves on the product, 0 .. 1e9 */
    double decay_per_h;   /* broken down or settled, 0 .. 1e4 */
    double start_mg_l;    /* 0 .. 1e6 */
};

struct wash_steady {
    bool has_steady;
    double steady_mg_l;
    double time_constant_h; /* 63 % of the way */
};

enum wash_reach { WASH_STAYS_BELOW, WASH_REACHES, WASH_ABOVE_NOW };

/* NUMBER_BAD, FIELD_RANGE on the members. */
MUST_USE struct result wash_steady(const struct wash_loop *loop, struct wash_steady *out);
/* time_h 0 .. 1e6. */
MUST_USE struct result wash_level(const struct wash_loop *loop, double time_h, double *out_mg_l);
/* When the limit (above 0 .. 1e6) is reached; *out_h 0 unless WASH_REACHES. */
MUST_USE struct result wash_reach(const struct wash_loop *loop, double limit_mg_l,
                                  enum wash_reach *out, double *out_h);
/* The make-up Qm with which the steady state is the limit; 0 where none is needed. The loop's own
 * flows are not looked at. FIELD_RANGE on limit_mg_l where the supply is no cleaner. */
MUST_USE struct result wash_make_up(const struct wash_loop *loop, double limit_mg_l,
                                    double *out_l_h);

#endif
