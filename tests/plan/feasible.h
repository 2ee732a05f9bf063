/* Is a plan one? Checked from the text of plan/problem.h alone, on named chambers and lots, not on
 * the sorted frame the plan was made with. Fails the running test with a sentence. */
#ifndef TESTS_PLAN_FEASIBLE_H
#define TESTS_PLAN_FEASIBLE_H

#include "plan/make.h"

void feasible_check(const struct plan_problem *p, const struct plan_outcome *x);
/* The cost of the outcome from its named starts and sales; lots of an item must have one price. */
double feasible_cost(const struct plan_problem *p, const struct plan_outcome *x);

#endif
