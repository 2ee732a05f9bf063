/* A whole plan from the counts and flows of a search: seed, goods and whom they serve.
 *
 * Where no limit by the kg binds, the plan is the search's own and as cheap as its counts allow.
 * Where one does, what does not fit is cut, and what is left is shared out as a plan made at once
 * would (construct.h). Every limit is kept; never fails. */
#ifndef PLAN_REALIZE_H
#define PLAN_REALIZE_H

#include "plan/build.h"
#include "plan/search.h"

struct realizer {
    struct builder *builder;
    int *flow_cell_of;
    double dearest_seed;
};

struct realized {
    struct plan *plan; /* the realizer's, until its next; flows not yet tidy */
    double cost;
    bool is_cut; /* a limit was in the way */
};

struct realizer *realizer_new(struct arena *a, const struct plan_frame *f);
struct realized plan_realize(struct realizer *w, struct arena *scratch, const struct search *s);

#endif
