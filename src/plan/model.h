/* The planning problem as an integer program over a frame.
 *
 *   n[option]      chambers started, whole                          f[fill]   kg of seed, of one
 * grade v[lot, day]    kg of a seed lot used on a day                   x[node, cell]  packed kg
 * that serve a cell e[node]        packed kg kept past the last day                 w[node] packed
 * kg wasted s[crop]        packed kg still growing after the last day       u[cell]   packed kg
 * short c[wish]        starts taken on later days and not kept  z[lot, day]  kg of a lot of an
 * ingredient used on a day
 * h[choice]      a running lot is harvested on another day than told, whole: goods, chambers and a
 *                day's harvests are counted as told and change with it
 *
 * minimise  start cost n + seed cost f + holding x + waste w + shortage u + change c - end value
 * (e, s)
 *
 *   fill        least n <= sum f <= most n                  each option
 *   chambers    sum of n growing or cleaned <= free         each pool and day
 *   seed        sum f = sum v; sum v <= what the lot holds  each grade and day; each lot
 *   goods       sum x + e + w = given + yield share f       each node
 *   wanted      sum x + u = wanted                          each cell with those sharing its want;
 *               x by the pieces of a swap
 *   with        sum x by a day >= share of the dish's own   each other crop in a dish, each day,
 *               sum x by then; in all =                     in place of wanted
 *   day         starts, treated and soaked seed, chambers harvested, bed harvested and washed,
 *               packed
 *   end         sum e + s <= wanted at the end              each crop
 *   choice      sum h <= 1                                  each running lot
 *   ingredient  sum takes x = sum z                         each ingredient and day
 *               sum z <= what the lot holds                 each lot
 *
 * Age, laboratory and market rules need no rows: only permitted x exist. n = 0 always satisfies
 * everything, so there always is a plan; where what is fixed exceeds a limit, nothing more is added
 * on that day. */
#ifndef PLAN_MODEL_H
#define PLAN_MODEL_H

#include "plan/lp_write.h"
#include "plan/plan.h"

/* Starts before whole_from keep the counts of kept, those before whole_until are whole, later ones
 * relaxed (relax and fix) or kept as well (fix and optimise). */
struct plan_window {
    int whole_from, whole_until;
    const struct plan *kept; /* NULL: whole_from is 0 */
    bool later_kept;
};

struct plan_model {
    const struct plan_frame *f;
    struct lp *lp;
    int *n, *fill;    /* column by option, by fill */
    int *end, *waste; /* column by node; end PLAN_NONE where nothing keeps */
    int *standing;    /* column by crop; PLAN_NONE */
    int *choice;      /* column by the frame's choice; PLAN_NONE: the one told */
    struct plan_arc {
        int node, cell, column;
    } * arcs;
    int arc_count;
};

/* The whole program: every start whole; and every start relaxed. */
struct plan_window plan_window_whole(const struct plan_frame *f);
struct plan_window plan_window_relaxed(void);
struct plan_model *plan_model_make(struct arena *a, const struct plan_frame *f,
                                   struct plan_window window);
/* values by column -> a plan, cleared of rounding. SOLVER_GARBLED when they break the program's
 * rows. */
MUST_USE struct result plan_model_read(struct arena *a, const struct plan_model *m,
                                       const double *values, struct plan **out);

#endif
