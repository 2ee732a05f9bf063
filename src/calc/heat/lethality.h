/* What a logged heat history is worth: equivalent time at a reference temperature and log
 * reduction.
 *
 * Between two points the temperature is taken as a straight line, for which the integral is exact
 * (calc/heat/lethal_rate.h). Two numbers come out and are never mixed up:
 *
 *   best          the coldest probe's own integral, readings as they are: information.
 *   conservative  the envelope of the coldest readings, each minus its uncertainty, nothing while
 *                 the log is silent, no credit for cooling, and no credit far above the
 *                 temperatures at which the constants were measured: what a decision may use.
 *                 conservative <= best always.
 *
 * The phases are those of the envelope: come-up before it first reaches the limit, hold wherever it
 * is at or above the limit, cooling all the rest. Where it never reaches the limit, come-up ends at
 * its last highest reading. */
#ifndef CALC_HEAT_LETHALITY_H
#define CALC_HEAT_LETHALITY_H

#include "calc/heat/heat_log.h"

/* What a silence longer than gap_max_ms is worth in the best estimate. */
enum lethality_gap {
    LETHALITY_GAP_ZERO,      /* nothing */
    LETHALITY_GAP_LOWER_END, /* the lower end held, if both ends are at or above the limit and an
                                independent record shows that the heat stayed on; else nothing */
    LETHALITY_GAP_BRIDGE     /* a straight line across */
};

enum lethality_window {
    LETHALITY_WINDOW_HOLD,
    LETHALITY_WINDOW_COME_UP_HOLD,
    LETHALITY_WINDOW_ALL
};

struct lethality_settings {
    double reference_c; /* -60 .. 300 */
    double z_c;         /* above 0 */
    double d_s;         /* time for one decimal reduction at reference_c, above 0 */
    double limit_c;     /* hold means at or above it, -60 .. 300 */
    bool has_tested_max;
    double tested_max_c; /* highest temperature at which D was measured, -60 .. 300 */
    bool has_credit_max;
    double credit_max_c; /* nothing above it is worth more than it, -60 .. 300 */
    bool cut_low;        /* nothing below reference_c - 3 z_c */
    int64_t gap_max_ms;  /* above 0 */
    enum lethality_gap gap;
    bool heat_on_record;
    enum lethality_window window;
};

enum lethality_flag {
    LETHALITY_NO_DATA = 1 << 0,           /* fewer than two different times: F is 0 */
    LETHALITY_GAP = 1 << 1,               /* a silence longer than gap_max_ms */
    LETHALITY_COARSE = 1 << 2,            /* an interval with more than 1 % of F spans over z / 4 */
    LETHALITY_CAPPED = 1 << 3,            /* readings above the credited range */
    LETHALITY_RANGE_UNKNOWN = 1 << 4,     /* no tested range was given */
    LETHALITY_LIMIT_NOT_REACHED = 1 << 5, /* the coldest readings never reach the limit */
    LETHALITY_SAME_TIMES = 1 << 6         /* points that repeat the one before them */
};

struct lethality_report {
    double f_best_s; /* min over the probes of f_probe_s */
    double f_conservative_s;
    double
        f_envelope_s; /* the envelope of the coldest readings, credited as the best estimate is */
    double f_probe_s[HEAT_PROBES_MAX];
    double reduction_best;         /* log10 */
    double reduction_conservative; /* log10 */
    double share_come_up;          /* of the coldest probe's whole history; sum 1, or all 0 */
    double share_hold;
    double share_cooling;
    double trapezoid_s;          /* coldest probe by the trapezoid rule, to compare old records */
    double trapezoid_over_exact; /* 1 or more; 0 where there is no data */
    double step_max_z;           /* largest |dT| / z within one interval */
    int64_t gap_longest_ms;      /* longest interval of the log, whether a gap or not */
    size_t gaps;
    size_t coldest_probe; /* index of the smallest f_probe_s */
    unsigned flags;       /* of enum lethality_flag */
};

/* Errors: those of heat_log_check; FIELD_RANGE or NUMBER_BAD on reference_c, z_c, d_s, limit_c,
 * tested_max_c, gap_max_ms; CALC_OVERFLOW on z_c where the result is beyond any number.
 * Source of the method: the log-linear integral with exact linear segments is closed form;
 * the cap is that of Thomas, White and Longree 1966 (constants/heat.csv). */
MUST_USE struct result lethality(const struct heat_log *log, const struct lethality_settings *set,
                                 struct lethality_report *out);

enum { LETHALITY_SHOWN_SIZE = 24 };

/* For people: floored to 0.1 and never rounded up, "> 12" above 12, "at least 5.2" above the
 * largest reduction seen in the laboratory (seen 0: not known). */
void lethality_show(double reduction, double seen, char out[LETHALITY_SHOWN_SIZE]);

#endif
