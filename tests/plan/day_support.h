/* Days to sequence by chance, and whether a sequence is one: checked minute by minute from the text
 * of plan/day.h alone. */
#ifndef TESTS_PLAN_DAY_SUPPORT_H
#define TESTS_PLAN_DAY_SUPPORT_H

#include "base/random.h"
#include "plan/day_search.h"
#include "plan/day_tell.h"

/* What a day drawn by chance may have. */
struct day_kind {
    int jobs, stages, trucks;
    bool machines, families, pauses, overlaps, limits, begun;
};

struct day_problem *day_random(struct arena *a, struct random *r, const struct day_kind *kind);
/* Fails the running test with a sentence. */
void day_feasible(const struct day_sequence *s);
/* The best score over every order that keeps the blocks. */
struct day_score day_brute(struct arena *a, const struct day_problem *p);

#endif
