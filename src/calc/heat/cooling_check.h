/* Did food cool as a rule asks? Judged from a log, in whole numbers, to the safe side.
 *
 * What counts is the warmest probe, with its uncertainty added. A stage's clock starts at the last
 * moment at which the warmest probe left the upper limit (a straight line between points, rounded
 * to the early side), or with the log. It ends at the first logged point from which on every point
 * is at or below the lower limit: warming across a limit opens the stage again. The crossing itself
 * is worked out too, but only shown.
 *
 * A pass needs the whole stage seen: the start in the log, no silence longer than gap_max_ms from
 * there to the end, no warming back across the upper limit. Otherwise it is for review. */
#ifndef CALC_HEAT_COOLING_CHECK_H
#define CALC_HEAT_COOLING_CHECK_H

#include "calc/heat/cooling_rule.h"
#include "calc/heat/heat_log.h"

enum cooling_verdict { COOLING_PASS, COOLING_FAIL, COOLING_REVIEW };

enum cooling_state {
    COOLING_DONE,       /* in time */
    COOLING_LATE,       /* fails */
    COOLING_OPEN,       /* not there yet, and time is left at the end of the log */
    COOLING_NOT_BEGUN,  /* still at or above the upper limit at the end */
    COOLING_START_LOST, /* the log begins below the upper limit */
    COOLING_REWARMED,   /* warmed back across the upper limit after leaving it */
    COOLING_GAP         /* a silence in the stage */
};

struct cooling_stage_report {
    enum cooling_state state;
    int64_t start_us;   /* after the first point of the log, rounded down */
    bool reached;       /* the end is in the log */
    int64_t crossed_us; /* when the lower limit was crossed, rounded up; for display */
    int64_t late_us;    /* the logged point that ends the stage; the log's end if not reached */
    bool reopened;      /* the lower limit was crossed more than once */
};

struct cooling_report {
    enum cooling_verdict verdict;
    bool no_data; /* fewer than two different times: for review */
    size_t stages;
    struct cooling_stage_report stage[COOLING_STAGES_MAX];
    enum cooling_verdict start; /* of chilling, where the rule says how soon */
    size_t gaps;                /* in the whole log */
    int64_t gap_longest_ms;
};

struct cooling_ask {
    const struct cooling_rule *rule;
    int64_t gap_max_ms; /* 1 .. 86 400 000 */
    bool has_chill_start;
    int64_t chill_start_ms; /* on the clock of the log */
};

/* Errors: those of heat_log_mc_check; FIELD_RANGE on gap_max_ms, chill_start_ms. */
MUST_USE struct result cooling_check(const struct heat_log_mc *log, const struct cooling_ask *ask,
                                     struct cooling_report *out);

/* "pass", "fail", "review" */
const char *cooling_verdict_word(enum cooling_verdict verdict);
/* "done", "late", "open", "not-begun", "start-lost", "rewarmed", "gap" */
const char *cooling_state_word(enum cooling_state state);

#endif
