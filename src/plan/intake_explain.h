/* Why lines are short, and what more of a limit would give: by planning anew without the limit, and
 * with some more of it.
 *
 * A line's limit is the one without which it gets the most more; the others without which it gets
 * more as well are in also. Where none helps alone, several bind at once, and named are those
 * that can't be given back (each alone makes the line short again). */
#ifndef PLAN_INTAKE_EXPLAIN_H
#define PLAN_INTAKE_EXPLAIN_H

#include "plan/intake_plan.h"
#include "plan/solver.h"

enum intake_limit {
    INTAKE_FRUIT,   /* of a good: nothing more of it comes or can be bought in time */
    INTAKE_STORE,   /* a room or its tanks */
    INTAKE_MACHINE, /* hours */
    INTAKE_LIFE,    /* nothing could be young enough, however much there were of everything */
    INTAKE_WORTH,   /* nothing stands in the way; it costs more than the shortage */
    INTAKE_WHOLE    /* it is met but for whole tanks and whole pieces */
};

/* A limit and which: index of the good, store or machine; 0 for the others. */
struct intake_bar {
    enum intake_limit limit;
    int index;
};

struct intake_short {
    int line;
    int64_t pieces; /* short */
    struct intake_bar bar;
    uint64_t also; /* bits 1 << intake_bar_bit of others; 0 for the last three limits */
};

/* One step more of a limit on every day (of fruit: once, from the first day on, at the least price
 * it is offered for; of a machine: on the days on which it has hours), by the same planning as the
 * reasons. */
struct intake_gain {
    struct intake_bar bar;
    double step;       /* kg, the store's unit (a whole tank), hours */
    double saved_cost; /* 0 or more */
    double met_kg;     /* more that lines get, all together; may be below 0 where dearer ones do */
};

struct intake_explain {
    const struct solver_options *solver; /* NULL: from plans made at once */
    double until_s;                      /* of CLOCK_MONOTONIC; after it plans made at once do */
};

/* met_pieces of the plan. -> count of shorts, in the order of lines; gains for the limits that they
 * name. */
int intake_shorts(struct arena *a, const struct intake_plan *plan, const int64_t *met_pieces,
                  const struct intake_explain *how, struct intake_short **out,
                  struct intake_gain **out_gains, int *out_gain_count);
/* goods, then stores, then machines: 0 ... 63 */
int intake_bar_bit(const struct intake_problem *p, struct intake_bar bar);
struct intake_bar intake_bar_of_bit(const struct intake_problem *p, int bit);
/* "fruit", "store", "machine", "life", "worth", "whole" */
const char *intake_limit_id(enum intake_limit limit);

#endif
