/* Was a validated recipe kept? The clause that releases treated seed rests on this, so it works in
 * whole numbers and errs to the safe side everywhere.
 *
 * The hold is the longest time during which every probe, less its uncertainty, was at or above the
 * recipe's temperature without a break. Between points each probe is a straight line; the moments
 * at which it crosses the temperature are exact, rounded inward to the microsecond. A silence
 * longer than gap_max_ms breaks the hold. What comes after cooling started counts for nothing.
 * The hold is given in whole seconds, rounded down. */
#ifndef CALC_HEAT_HOLD_CHECK_H
#define CALC_HEAT_HOLD_CHECK_H

#include "calc/heat/heat_log.h"

enum { HOLD_GAP_MAX_MS = 24 * 60 * 60 * 1000 };

struct hold_recipe {
    int32_t temp_mc;        /* -60 000 .. 300 000 */
    int64_t hold_ms;        /* above 0, up to 1000 days */
    int64_t cool_within_ms; /* after the end of the hold, 0 or more; HOLD_COOL_ANY */
    int64_t gap_max_ms;     /* 1 .. HOLD_GAP_MAX_MS */
    bool has_cool_start;
    int64_t cool_start_ms;
};

/* The recipe does not say when cooling must start. */
#define HOLD_COOL_ANY INT64_C(-1)

enum hold_state {
    HOLD_MET,
    HOLD_NO_DATA, /* fewer than two different times */
    HOLD_NEVER_REACHED,
    HOLD_TOO_SHORT,
    HOLD_COOL_UNKNOWN, /* long enough, but nobody said when cooling started */
    HOLD_COOL_LATE     /* long enough, but cooling started too late */
};

struct hold_report {
    bool met; /* state is HOLD_MET */
    enum hold_state state;
    int64_t hold_s;        /* the hold judged: one that met everything, else the longest */
    int64_t hold_start_ms; /* rounded up; 0 where the temperature was never reached */
    int64_t hold_end_ms;   /* rounded down */
    bool has_cool_delay;
    int64_t cool_delay_ms; /* end of the hold to the start of cooling, rounded up */
    int64_t gap_longest_ms;
    size_t gaps;
    int32_t
        coldest_peak_mc;  /* highest reading, less its uncertainty, of the probe whose is least */
    size_t coldest_probe; /* that probe */
};

/* Errors: those of heat_log_mc_check; FIELD_RANGE on temp_mc, hold_ms, cool_within_ms, gap_max_ms,
 * cool_start_ms. */
MUST_USE struct result hold_check(const struct heat_log_mc *log, const struct hold_recipe *recipe,
                                  struct hold_report *out);

/* "met", "too-short", ...: stable words for answers. */
const char *hold_state_word(enum hold_state state);

#endif
