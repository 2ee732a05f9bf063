/* A plan at once, pulled from the orders: what is due first is served first, dearest shortage first
 * within a day, from what is there (oldest that will do), then by uses as late as will do, then by
 * buying; what a use gives besides is there for the next. Every step keeps every limit. What nobody
 * pulls is kept to the end, let go or turned away, whichever costs least. Never fails. */
#ifndef PLAN_INTAKE_CONSTRUCT_H
#define PLAN_INTAKE_CONSTRUCT_H

#include "plan/intake_plan.h"

struct intake_plan *intake_construct(struct arena *a, const struct intake_frame *f);

#endif
