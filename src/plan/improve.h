/* A better plan than the one made at once, for as long as allowed: a local search on the start
 * counts (search.h), and beside it the solver (prove.h) for how good a plan can be and for whatever
 * the search does not see. The better of what was given and what was found is returned, at its true
 * cost; without a solver, or with one that fails, the search goes on alone. */
#ifndef PLAN_IMPROVE_H
#define PLAN_IMPROVE_H

#include "plan/model.h"
#include "plan/solver.h"

/* How far it is: at each better plan or bound. */
struct improve_progress {
    double seconds;          /* since the beginning */
    const struct plan *plan; /* the best so far; lives in the arena of plan_improve */
    double cost;
    bool has_bound;
    double bound, gap;
};

struct improve_options {
    struct solver_options solver; /* path NULL: no solver; seconds, gap and stop: of everything */
    uint64_t seed;                /* of the search's chances */
    /* Moves of the search; 0: as many as fit into the seconds. With so many moves the same seed
     * finds the same plan, and a gap that is small enough does not end the search. */
    int64_t moves;
    void (*tell)(void *self, const struct improve_progress *progress); /* NULL: nobody listens */
    void *self;
};

struct improvement {
    const struct plan *plan;
    bool is_improved;     /* false: the given plan */
    double cost;          /* of plan */
    bool has_bound;       /* no plan costs less than bound; from the solver alone */
    double bound, gap;    /* gap: share of the cost that might still be saved */
    int64_t moves;        /* that the search looked at */
    struct result solver; /* RESULT_OK, or why the solver brought nothing (or nothing more) */
};

void plan_improve(struct arena *a, const struct plan_frame *f, const struct plan *given,
                  const struct improve_options *options, struct improvement *out);

#endif
