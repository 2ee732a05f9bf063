/* How much more than the forecast to plan for, and how little to count on from a chamber: chosen by
 * trying a few levels and scoring the plan of each on the same futures.
 *
 * The search itself is told of safety only through its problem: ways and running lots give
 * `caution` standard deviations less than their mean, and each forecast line gets a second one
 * behind it, buffer standard deviations of the forecast. A piece of that second line is worth what
 * a short piece costs times the chance that it is wanted, which is what the newsvendor's critical
 * ratio weighs against its cost (Arrow, Harris and Marschak 1951, Optimal Inventory Policy - from
 * memory).
 *
 * Levels are tried from the critical ratio on, for all products alike, then product by product. */
#ifndef PLAN_SAFETY_H
#define PLAN_SAFETY_H

#include "plan/chance.h"
#include "plan/make.h"

struct safety {
    double caution;       /* standard deviations of a batch below the mean yield, -1 ... 3 */
    const double *buffer; /* by product: standard deviations of the forecast, 0 ... 3 */
};

/* The problem with safety in it: its lines begin with those of p, in their order. */
struct plan_problem *safety_problem(struct arena *a, const struct plan_problem *p,
                                    const struct chance_model *model, const struct safety *safety);

/* Share of demand to be covered when a kg too little costs `under` and one too many `over`; both
 * above 0. */
double safety_critical_ratio(double under, double over);
/* What to have for demand of a mean and spread, to cover that share of it (normal). */
double safety_quantity(double mean, double spread, double share);

struct safety_wish {
    double service;    /* 0: the least cost; else the least cost that meets this share of the kg
                          wanted, or the nearest to it. 0 ... 1 */
    int trial_futures; /* each level is scored on so many; 0: as many as the model's */
};

struct safety_choice {
    struct safety safety;
    struct plan_outcome outcome; /* its lines, sales, shorts and purposes are those of p alone */
    struct chance chance;        /* of p's lines, on all of the model's futures */
    int trial_count;
};

/* options as in plan_make, for the last plan alone: levels are tried with the plan made at once.
 * PLAN_FIELD. */
MUST_USE struct result safety_choose(struct arena *a, const struct plan_problem *p,
                                     const struct chance_model *model,
                                     const struct safety_wish *wish,
                                     const struct improve_options *options,
                                     struct safety_choice *out);

#endif
