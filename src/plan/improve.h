/* A better plan than the one made at once: the whole integer program for as long as allowed, or
 * piece by piece (relax and fix: some days whole, the days before them kept, the days after them
 * relaxed), which finds good plans sooner on long horizons. The better of what was given and what
 * was found is returned; a solver that fails leaves the given plan. */
#ifndef PLAN_IMPROVE_H
#define PLAN_IMPROVE_H

#include "plan/model.h"
#include "plan/solver.h"

struct improve_options {
    struct solver_options solver; /* seconds: for everything together */
    int window_days, step_days;   /* 0: the whole program at once; else step_days <= window_days */
};

struct improvement {
    const struct plan *plan;
    bool is_improved;     /* false: the given plan */
    double cost;          /* of plan */
    bool has_bound;       /* no plan costs less than bound; only the whole program gives one */
    double bound, gap;    /* gap: share of the cost that might still be saved */
    struct result solver; /* RESULT_OK, or why the solver brought nothing (or nothing more) */
};

void plan_improve(struct arena *a, const struct plan_frame *f, const struct plan *given,
                  const struct improve_options *options, struct improvement *out);

#endif
