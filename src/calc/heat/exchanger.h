/* Regeneration, heating, cooling and the size of a counter-flow plate heat exchanger.
 *
 *   e = (T_regen - T_in) / (T_past - T_in)     heater q = m c (T_past - T_in)(1 - e)
 *   hot side leaves the regenerator at T_past - e (T_past - T_in) (equal flows)
 *   NTU = e / (1 - e), UA = m c NTU            LMTD = (d1 - d2) / ln(d1 / d2)
 *
 * Source: heat balance, computed here. */
#ifndef CALC_HEAT_EXCHANGER_H
#define CALC_HEAT_EXCHANGER_H

#include "base/result.h"

struct exchanger_in {
    double flow_kg_s;    /* above 0 .. 1000 */
    double heat_j_kg_k;  /* 100 .. 10000 */
    double in_c;         /* 0 .. 200 */
    double past_c;       /* above in_c .. 200 */
    double out_c;        /* in_c's range; below what leaves the regenerator: it is cooled */
    double regeneration; /* 0 .. 0.99 */
    double u_w_m2_k;     /* 0: no area wanted; else 1 .. 100000 */
};

struct exchanger {
    double regen_c;      /* cold side out of the regenerator */
    double hot_leaves_c; /* hot side out of it */
    double heater_w;
    double regenerator_w;
    double total_w;
    double cooler_w;
    double difference_c; /* across the regenerator's plates, the same all along */
    double ntu;
    double ua_w_k;
    double area_m2; /* 0 where u is 0 */
};

/* FIELD_RANGE, NUMBER_BAD on the fields above. */
MUST_USE struct result exchanger_work(const struct exchanger_in *in, struct exchanger *out);
/* From temperatures measured: in < regen <= past. FIELD_RANGE, NUMBER_BAD. */
MUST_USE struct result exchanger_regeneration(double in_c, double regen_c, double past_c,
                                              double *out);
/* Counter-flow; both differences above 0. FIELD_RANGE on hot_in_c, hot_out_c. */
MUST_USE struct result exchanger_lmtd(double hot_in_c, double hot_out_c, double cold_in_c,
                                      double cold_out_c, double *out_c);

#endif
