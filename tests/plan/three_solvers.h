/* One text, three solvers. */
#ifndef TESTS_PLAN_THREE_SOLVERS_H
#define TESTS_PLAN_THREE_SOLVERS_H

#include "other_solvers.h"
#include "plan/lp_write.h"
#include "plan/model.h"
#include "plan/solver.h"

/* Ours, GLPK (glpsol prints nine digits) and HiGHS find the same least cost. -> our answer */
static inline struct solver_answer three_solvers_answer(struct arena *a, const struct plan_model *m)
{
    const char *text = lp_text(a, m->lp);
    struct solver_options options = {.path = SOLVE_PATH, .seconds = 60, .gap = 0};
    struct solver_answer x;
    struct result r = solver_run(a, &options, text, m->lp->column_count, &x);
    assert_int_equal(r.code, CODE_OK);
    assert_int_equal(x.status, SOLVER_SOLVED);
    assert_close(x.objective, glpk_cost(a, text), 1e-6);
    assert_close(x.objective, highs_cost(a, text), 1e-6);
    return x;
}

/* The best plan of a frame's whole window, as all three find it. */
static inline struct plan *three_solvers_plan(struct arena *a, const struct plan_frame *f,
                                              double *out_cost)
{
    struct plan_model *m = plan_model_make(a, f, plan_window_whole(f));
    struct solver_answer x = three_solvers_answer(a, m);
    struct plan *plan = NULL;
    assert_int_equal(plan_model_read(a, m, x.values, &plan).code, CODE_OK);
    assert_close(plan_cost(a, plan), x.objective, 1e-6);
    *out_cost = x.objective;
    return plan;
}

#endif
