/* What goes into packs beside the crop, by the kg of crop in them.
 *
 * mix     products are alike here when a kg of crop in them weighs as much packed and takes as much
 * of each ingredient; mix 0 is the crop alone, and the last, where there are dishes of several
 * crops, what goes into them beside their own crop: what they weigh and take counts there
 *
 * Lots of an ingredient are used soonest useless first. With days that follow each other and lots
 * usable without a break this wastes none: what is left for a day is exact, whatever was taken for
 * other days before (Glover 1967, Maximum matching in a convex bipartite graph - from memory). */
#ifndef PLAN_MIX_H
#define PLAN_MIX_H

#include "plan/frame.h"

/* Of the problem: kg of the ingredient that a kg of crop in the product takes. */
double plan_takes(const struct plan_problem *p, int ingredient, int product);
/* Packed kg of the product behind a kg of its crop. */
double plan_pack_kg(const struct plan_problem *p, int product);
/* Most of the ingredient that can be used on the day beside what is used by day, which its lots
 * must hold. */
double plan_ingredient_left(const struct plan_problem *p, int ingredient, const double *used_kg,
                            int day);
/* Of what comes by the day, and of what may be used on it or later. */
double plan_ingredient_until(const struct plan_problem *p, int ingredient, int day);
double plan_ingredient_from(const struct plan_problem *p, int ingredient, int day);

/* Sorts the products of the frame's problem into mixes. */
void plan_mixes_make(struct plan_frame *f);
/* Day on which goods of the node are packed; PLAN_NONE: they are. */
int plan_pack_day(const struct plan_frame *f, int node);

#endif
