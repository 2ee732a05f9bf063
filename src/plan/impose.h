/* A problem in which the starts of one evening are given, and its plan told as one of the problem
 * that it came from. The evening is the first after the frozen days: it is frozen as well, with
 * these starts as the ones taken. */
#ifndef PLAN_IMPOSE_H
#define PLAN_IMPOSE_H

#include "plan/make.h"

struct imposed {
    const struct plan_problem *from, *p; /* p: with the starts given */
    int day;
    int *taken_of; /* by taken start of p: that of from, PLAN_NONE */
};

/* false: not all of the starts can be made, in chambers, seed or what the day can take; out is then
 * the problem as it was. The starts lie on p->frozen_days. */
bool impose(struct arena *a, const struct plan_problem *p, const struct plan_taken *starts,
            int start_count, struct imposed *out);
/* Starts, drops, shorts, cost and bound as those of x->from. The bound then holds for plans with
 * these starts. */
void impose_tell(struct arena *a, const struct imposed *x, struct plan_outcome *outcome);

#endif
