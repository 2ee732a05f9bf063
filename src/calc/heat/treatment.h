/* Lethality for the record: whole numbers in and out, rounded to the safe side. */
#ifndef CALC_HEAT_TREATMENT_H
#define CALC_HEAT_TREATMENT_H

#include "calc/heat/lethal_set.h"
#include "calc/heat/lethality.h"

struct treatment_constants {
    int32_t reference_mc;
    int32_t z_mc; /* above 0 */
    int64_t d_ms; /* above 0 */
    int32_t limit_mc;
    bool has_tested_max;
    int32_t tested_max_mc;
    bool cut_low;
    int64_t gap_max_ms; /* 0: twice the usual interval of the log */
    enum lethality_gap gap;
    bool heat_on_record;
    enum lethality_window window;
};

struct treatment_lethality {
    int64_t f_best_ms;            /* rounded down */
    int64_t f_conservative_ms;    /* rounded down */
    int64_t reduction_best_milli; /* thousandths of a decimal reduction, rounded down */
    int64_t reduction_conservative_milli;
    char shown[LETHALITY_SHOWN_SIZE]; /* conservative, as people read it */
    int64_t share_come_up_ppm;
    int64_t share_hold_ppm;
    int64_t share_cooling_ppm;
    int64_t step_max_milli_z; /* rounded up */
    int64_t gap_longest_ms;
    int64_t gap_max_ms; /* the one used */
    size_t gaps;
    size_t coldest_probe;
    unsigned flags; /* enum lethality_flag */
};

/* The constants of a published set, to the thousandth; without a limit. */
struct treatment_constants treatment_of_set(const struct lethal_set *set);

/* Errors: those of lethality; its fields keep their names (reference_c for reference_mc, ...).
 * CALC_OVERFLOW too where a number does not fit into the record. */
MUST_USE struct result treatment_lethality(struct arena *a, const struct heat_log_mc *log,
                                           const struct treatment_constants *constants,
                                           struct treatment_lethality *out);

#endif
