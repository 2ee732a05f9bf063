/* Growth of Listeria monocytogenes over a temperature log, by both models of growth_rate.h.
 *
 * The warmest probe, with its uncertainty added, is a straight line between points. Square root:
 * exact, b^2 dt (x1^2 + x1 x2 + x2^2)/3 with x = T - T0, cut at T0. Cardinal: Gauss-Legendre with
 * eight points on pieces of at most 5 C, cut at the temperatures where growth begins and ends. Over
 * a silence longer than gap_max_ms the warmer end is taken throughout. No lag is credited. */
#ifndef CALC_HEAT_GROWTH_LOG_H
#define CALC_HEAT_GROWTH_LOG_H

#include "calc/heat/growth_rate.h"
#include "calc/heat/heat_log.h"

struct growth_report {
    double root_log;     /* decimals, without a ceiling */
    double cardinal_log; /* likewise */
    double warmest_c;    /* with its uncertainty */
    double above_h;      /* time above the range of the square root */
    size_t gaps;
    int64_t gap_longest_ms;
};

/* gap_max_ms 1 .. 86 400 000. Errors: those of heat_log_check, root_growth_check,
 * cardinal_growth_check; FIELD_RANGE on gap_max_ms. A log of fewer than two points has no growth.
 */
MUST_USE struct result growth_over_log(const struct heat_log *log, int64_t gap_max_ms,
                                       const struct root_growth *root,
                                       const struct cardinal_growth *cardinal,
                                       struct growth_report *out);

#endif
