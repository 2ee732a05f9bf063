/* A plan with safety: how much more than what is expected each crop is to have, chosen by
 * rehearsing a few levels on the same futures (cover.h), either where shortage and waste together
 * cost least or where a share of what is wanted is met most cheaply.
 *
 * The search is told of it only through its problem: yields are the mean ones, and each crop gets
 * lines for its cover, shared among products and groups as their forecasts are uncertain: on the
 * first day a start of today can be harvested, and on later days what the cover grows by. */
#ifndef PLAN_SAFETY_H
#define PLAN_SAFETY_H

#include "plan/cover.h"
#include "plan/make.h"

struct safety {
    double *level; /* by crop: standard deviations, 0 ... SAFETY_LEVEL_MAX */
};

#define SAFETY_LEVEL_MAX 5.0

struct safety_wish {
    double service;    /* 0: the least cost; else the least cost that meets this share of the kg
                          wanted, or the nearest to it. 0 ... 1 */
    double least;      /* levels below are not tried: 0 ... SAFETY_LEVEL_MAX */
    int trial_futures; /* to rehearse on; 1 ... CHANCE_FUTURES_MAX */
};

enum { SAFETY_TRIALS = 200 };

/* Share of demand to be covered when a kg too little costs `under` and one too many `over`; both
 * above 0 (the newsvendor's ratio: Arrow, Harris, Marschak 1951, Optimal Inventory Policy - from
 * memory). */
double safety_critical_ratio(double under, double over);
/* What to have for demand of a mean and spread, to cover that share of it (normal). */
double safety_quantity(double mean, double spread, double share);

/* The levels for a problem. score, by crop, may be NULL: what the rehearsal says of the level
 * taken. PLAN_FIELD. */
MUST_USE struct result safety_levels(struct arena *a, const struct plan_problem *p,
                                     const struct chance_model *model,
                                     const struct safety_wish *wish, struct safety *out,
                                     struct cover_score *score);

/* The problem with safety in it: its lines begin with those of p, in their order. */
struct plan_problem *safety_problem(struct arena *a, const struct plan_problem *p,
                                    const struct chance_model *model, const struct safety *safety);

struct tonight; /* tonight.h */

struct safety_choice {
    struct safety safety;
    const struct tonight *tonight; /* what was rehearsed of the first open evening; NULL: nothing */
    struct plan_outcome outcome;   /* its lines, sales, shorts and purposes are those of p alone */
    struct chance chance;          /* of p's lines, on the model's futures */
};

/* Makes an outcome of safety_problem one of p alone, and adds its chances: for whoever makes the
 * plan step by step. safety and outcome of the choice are given. PLAN_FIELD. */
MUST_USE struct result safety_finish(struct arena *a, const struct plan_problem *p,
                                     const struct chance_model *model,
                                     struct safety_choice *choice);
/* Levels, plan and chances. options as in plan_make. PLAN_FIELD. */
MUST_USE struct result safety_plan(struct arena *a, const struct plan_problem *p,
                                   const struct chance_model *model, const struct safety_wish *wish,
                                   const struct improve_options *options,
                                   struct safety_choice *out);

#endif
