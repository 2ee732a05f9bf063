/* A whole plan from an intake problem, in the shape of make.h: check, construct, improve, explain.
 *
 * Call it without options where somebody waits: it answers at once. */
#ifndef PLAN_INTAKE_MAKE_H
#define PLAN_INTAKE_MAKE_H

#include "plan/improve.h"
#include "plan/intake_explain.h"

struct intake_outcome {
    const struct intake_frame *frame;
    const struct intake_plan *plan;
    bool is_improved; /* false: the plan made at once */
    double cost;      /* of plan */
    bool has_bound;   /* no plan costs less than bound; from the solver alone */
    double bound, gap;
    struct result solver; /* RESULT_OK, or why the solver brought nothing (or nothing more) */
    int64_t *met_pieces;  /* by line */
    const double *stock, *level, *hours; /* of the plan: intake_plan.h */
    const int *tanks;
    struct intake_short *shorts;
    int short_count;
    struct intake_gain *gains; /* of the limits that shorts name */
    int gain_count;
};

/* options NULL: the plan made at once, without a solver. Of options only solver plays a part. A
 * solver that fails is no error here: see solver. PLAN_FIELD when the problem is not one. */
MUST_USE struct result intake_make(struct arena *a, const struct intake_problem *p,
                                   const struct improve_options *options,
                                   struct intake_outcome *out);
/* Everything of out that follows from the plan alone: from frame to tanks, but bound and gap. */
void intake_measure(struct arena *a, const struct intake_plan *plan, struct intake_outcome *out);

#endif
