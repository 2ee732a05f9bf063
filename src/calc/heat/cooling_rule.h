/* The rules for cooling cooked food, as data (cooling_rules.def). A house chooses the one that is
 * law where it sells, and owns that choice. */
#ifndef CALC_HEAT_COOLING_RULE_H
#define CALC_HEAT_COOLING_RULE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { COOLING_STAGES_MAX = 2 };

struct cooling_stage {
    bool from_begin; /* the clock starts with the log; otherwise when from_mc is left for good */
    int32_t from_mc;
    int32_t to_mc;
    bool below;       /* under to_mc, not at it */
    int64_t limit_ms; /* from the start of the clock */
    double from_f;    /* as the text has it; 0 where it has none */
    double to_f;
};

struct cooling_rule {
    const char *name;
    const char *title;
    int64_t start_within_ms; /* chilling begins this soon after the log's begin; 0: not said */
    bool whole;              /* its text is known to the end; otherwise it can only fail */
    size_t stages;           /* 1 .. COOLING_STAGES_MAX */
    struct cooling_stage stage[COOLING_STAGES_MAX];
};

size_t cooling_rule_count(void);
/* index < cooling_rule_count() */
const struct cooling_rule *cooling_rule_at(size_t index);
/* NULL when there is no such name. */
const struct cooling_rule *cooling_rule_find(const char *name);

#endif
