/* A whole plan from the counts and flows of a search: seed, goods and whom they serve.
 *
 * Where no limit by the kg binds, the plan is the search's own and as cheap as its counts allow.
 * Where one does, what does not fit is cut, and what is left is shared out as a plan made at once
 * would (construct.h), if that is cheaper. Every limit is kept; never fails. */
#ifndef PLAN_REALIZE_H
#define PLAN_REALIZE_H

#include "plan/search.h"

struct realized {
    struct plan *plan;
    double cost;
    bool is_cut; /* a limit was in the way */
};

struct realized plan_realize(struct arena *a, const struct search *s);

#endif
