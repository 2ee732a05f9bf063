/* The dose of Peleg's model over a logged history. The other models' doses are those of
 * calc/heat/lethality.h, over D or delta. */
#ifndef CALC_HEAT_SURVIVAL_LOG_H
#define CALC_HEAT_SURVIVAL_LOG_H

#include "calc/heat/heat_log.h"

struct survival_peleg_log {
    double best; /* coldest readings as they are; nothing in gaps */
    double safe; /* less their uncertainty, and nothing after the last highest of them */
    size_t gaps;
};

/* kb_per_c 1e-3 .. 100, tc_c -60 .. 300, n 0.05 .. 20, gap_max_ms above 0. Errors: those of
 * heat_log_check; FIELD_RANGE, NUMBER_BAD on kb_per_c, tc_c, shape; CALC_OVERFLOW on shape. */
MUST_USE struct result survival_peleg_log(const struct heat_log *log, double kb_per_c, double tc_c,
                                          double n, int64_t gap_max_ms,
                                          struct survival_peleg_log *out);

#endif
