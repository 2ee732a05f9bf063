/* The cheapest plan of a small problem by trying every number of starts: exact, slow, and nothing
 * of plan/ in it but the struct.
 *
 * For a problem of one crop, one class without outages, one market, one seed lot without end,
 * products of one net weight, at most one swap of a product, ways of one yield; limits: chambers,
 * starts and harvests a day; where no laboratory is waited for packed kg a day, and where there is
 * one product and no stock besides, one ingredient of one lot. What the starts then bring is a
 * least-cost flow (lot -> start
 * -> harvest day -> packed
 * -> lines), solved by successive shortest paths. */
#ifndef TESTS_PLAN_BRUTE_H
#define TESTS_PLAN_BRUTE_H

#include "plan/problem.h"

/* Cost in the terms of plan_cost. *out_tried: start vectors that hold. */
double brute_cost(struct arena *a, const struct plan_problem *p, int *out_tried);

#endif
