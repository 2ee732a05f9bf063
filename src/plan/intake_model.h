/* The intake problem as a mixed-integer program over a frame.
 *
 *   u[use, birth, day]  kg taken in         x[cell, birth]  kg that serve a cell
 *   b[offer, day]       kg bought           t[delivery]     kg turned away
 *   s[node, day]        kg at the day's end o[node, day]    kg that leave
 *   z[cell]             kg short            e[good]         kg wanted at the end
 *   n[node, day]        tanks, whole
 *
 *   goods      s = s of the evening before + given + delivered - t + b + shares u - u - x - o
 *   wanted     sum x + z = wanted                          each cell
 *   machine    sum hours u <= hours                        each machine and day
 *   store      sum room s <= limit                         each store and day
 *   tanks      room s <= size n (also the evening before's, where cleaned), sum n <= tanks
 *   bought     sum b <= kg_in_all                          each offer
 *   end        e <= sum s of the last evening with life left
 *
 * Age needs no rows: only permitted u, x and s exist. All turned away and let go satisfies
 * everything, so there always is a plan. */
#ifndef PLAN_INTAKE_MODEL_H
#define PLAN_INTAKE_MODEL_H

#include "plan/intake_plan.h"
#include "plan/lp_write.h"

struct intake_model {
    const struct intake_frame *f;
    struct lp *lp;
    bool is_exact; /* tanks are whole, or there are none: what it finds is a plan */
    /* columns, laid out as the plan's arrays; PLAN_NONE: there is none */
    int *use, *sale, *buy, *turn, *out, *stock;
};

/* is_whole: tanks in whole numbers; else the relaxed program, whose optimum is a bound. */
struct intake_model *intake_model_make(struct arena *a, const struct intake_frame *f,
                                       bool is_whole);
/* values by column -> a plan, cleared of rounding; one that may break tanks alone where the model
 * is not exact. SOLVER_GARBLED when they break the program's rows, or the plan's own limits. */
MUST_USE struct result intake_model_read(struct arena *a, const struct intake_model *m,
                                         const double *values, struct intake_plan **out);

#endif
