/* A whole plan from a problem: check, construct, improve, place, explain. Each step can be called
 * by itself.
 *
 * Call plan_construct first where somebody waits: it answers at once; plan_make takes as long as
 * options allow. */
#ifndef PLAN_MAKE_H
#define PLAN_MAKE_H

#include "plan/explain.h"
#include "plan/improve.h"

struct plan_outcome {
    const struct plan_frame *frame; /* frame->drops: taken starts that can't be made any more */
    struct improvement
        improvement; /* the plan, its cost, bound and gap, and what became of the solver */
    struct plan_placed *starts;
    int start_count;
    struct plan_sale *sales; /* which goods serve which line */
    int sale_count;
    int64_t *met_pieces; /* by line */
    int *met_days;       /* by line: the day its last goods leave */
    struct plan_short *shorts;
    int short_count;
    struct plan_purpose *purposes; /* what each start is for */
    int purpose_count;
    const struct plan_slack *slack; /* what is left of each day's limits, chambers and seed lots */
};

/* options NULL: the plan made at once, without a solver. A solver that fails is no error here: see
 * improvement.solver. PLAN_FIELD when the problem is not one. */
MUST_USE struct result plan_make(struct arena *a, const struct plan_problem *p,
                                 const struct improve_options *options, struct plan_outcome *out);
/* The same for a plan that is there, as told in progress (improve.h). */
void plan_outcome_make(struct arena *a, const struct plan_frame *f, const struct improvement *x,
                       struct plan_outcome *out);

#endif
