/* The least cost of a tiny house with two crops and dishes of both, or packs of one given in place
 * of the other's, by trying every start vector; the goods of each are a linear program, solved by a
 * simplex of its own. Shares nothing with src/plan but the problem's struct. */
#ifndef TESTS_PLAN_BRUTE_BOWL_H
#define TESTS_PLAN_BRUTE_BOWL_H

#include "plan/problem.h"

/* Two crops of one way each, one class, one seed lot a crop and more seed than chambers, a market
 * without results, no running lots, stock that is packed, limits of starts, harvests, packing and
 * washing a day, days that are shut; swaps across crops, one of a product at most. -> cost; vectors
 * tried */
double brute_bowl_cost(struct arena *a, const struct plan_problem *p, int *out_tried);

#endif
