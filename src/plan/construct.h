/* A plan at once, by the rule a planner would use with a pencil: what is due first is served first,
 * dearest shortage first within a day, from what is already there (oldest that will do), then by
 * filling started chambers further, then by a new chamber harvested as late as will do; starts
 * somebody has already taken are kept first. Whole chambers, every limit kept. Milliseconds, never
 * fails; at worst it starts nothing. */
#ifndef PLAN_CONSTRUCT_H
#define PLAN_CONSTRUCT_H

#include "plan/plan.h"

struct plan *plan_construct(struct arena *a, const struct plan_frame *f);

#endif
