#include "plan/intake_make.h"

#include <math.h>
#include <time.h>

#include "plan/intake_construct.h"
#include "plan/intake_model.h"

/* Of the time: for the plan, the rest for the reasons. */
#define PLAN_SHARE 0.7
/* A bound a hair above the cost of a plan is rounding; further above it is none. */
#define BOUND_ROUNDING 1e-6

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static void take_bound(struct intake_outcome *x, double bound)
{
    if (x->has_bound && bound <= x->bound) return;
    x->has_bound = true;
    x->bound = bound;
}

/* Takes over what is better than what is there. */
static struct result take_answer(struct arena *a, const struct intake_model *m,
                                 const struct solver_answer *answer, struct intake_outcome *x)
{
    struct intake_plan *plan;
    if (answer->status == SOLVER_INFEASIBLE || answer->status == SOLVER_UNBOUNDED)
        return FAIL1(SOLVER_GARBLED, "",
                     answer->status == SOLVER_INFEASIBLE ? "it says there is no plan"
                                                         : "it says costs have no end");
    double cost = intake_cost(a, x->plan);
    /* there is a plan of that cost, so nothing true bounds it from above */
    if (answer->has_bound && answer->bound > cost + BOUND_ROUNDING * fmax(1, fabs(cost)))
        return FAIL1(SOLVER_GARBLED, "", "its bound lies above the cost of a plan");
    TRY(intake_model_read(a, m, answer->values, &plan));
    if (answer->has_bound) take_bound(x, answer->bound);
    if (!m->is_exact) return RESULT_OK;
    double found = intake_cost(a, plan);
    if (answer->has_bound && answer->bound > found + BOUND_ROUNDING * fmax(1, fabs(found))) {
        x->has_bound = false;
        return FAIL1(SOLVER_GARBLED, "", "its bound lies above the cost of its plan");
    }
    if (found < cost) {
        x->plan = plan;
        x->is_improved = true;
    }
    return RESULT_OK;
}

static struct result solve(struct arena *a, const struct intake_frame *f,
                           const struct solver_options *options, bool is_whole, double until_s,
                           bool *out_is_exact, struct intake_outcome *x)
{
    struct solver_options o = *options;
    struct solver_answer answer;
    struct intake_model *m = intake_model_make(a, f, is_whole);
    o.seconds = fmax(0.05, until_s - now_s());
    *out_is_exact = m->is_exact;
    struct result r = solver_run(a, &o, lp_text(a, m->lp), m->lp->column_count, &answer);
    if (r.code == CODE_SOLVER_LATE && answer.has_bound && answer.bound <= intake_cost(a, x->plan))
        take_bound(x, answer.bound);
    TRY(r);
    return take_answer(a, m, &answer, x);
}

static void improve(struct arena *a, const struct intake_frame *f,
                    const struct solver_options *options, double until_s, struct intake_outcome *x)
{
    bool is_exact;
    x->solver = solve(a, f, options, false, until_s, &is_exact, x);
    if (x->solver.code == CODE_OK && !is_exact)
        x->solver = solve(a, f, options, true, until_s, &is_exact, x);
}

void intake_measure(struct arena *a, const struct intake_plan *plan, struct intake_outcome *out)
{
    const struct intake_problem *p = plan->f->p;
    int *tanks = ARENA_ARRAY(a, int, (size_t)(p->store_count * p->day_count) + 1);
    out->frame = plan->f;
    out->plan = plan;
    out->cost = intake_cost(a, plan);
    out->met_pieces = intake_met_pieces(a, plan);
    out->stock = intake_stock(a, plan);
    out->level = intake_levels(a, plan, out->stock, tanks);
    out->tanks = tanks;
    out->hours = intake_hours(a, plan);
}

struct result intake_make(struct arena *a, const struct intake_problem *p,
                          const struct improve_options *options, struct intake_outcome *out)
{
    *out = (struct intake_outcome){.solver = RESULT_OK};
    TRY(intake_check(p));
    const struct solver_options *solver = options && options->solver.path ? &options->solver : NULL;
    double begun_s = now_s(), seconds = solver ? solver->seconds : 0;
    const struct intake_frame *f = intake_frame_make(a, p);
    out->frame = f;
    out->plan = intake_construct(a, f);
    if (solver) improve(a, f, solver, begun_s + seconds * PLAN_SHARE, out);
    intake_measure(a, out->plan, out);
    if (out->has_bound) {
        out->bound = fmin(out->bound, out->cost);
        out->gap = fmin(1, (out->cost - out->bound) / fmax(1e-9, fabs(out->cost)));
    }
    struct intake_explain how = {.solver = out->solver.code == CODE_OK ? solver : NULL,
                                 .until_s = begun_s + seconds};
    out->short_count = intake_shorts(a, out->plan, out->met_pieces, &how, &out->shorts, &out->gains,
                                     &out->gain_count);
    return RESULT_OK;
}
