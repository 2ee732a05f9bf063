#include "plan/make.h"

#include "plan/construct.h"

void plan_outcome_make(struct arena *a, const struct plan_frame *f, const struct improvement *x,
                       struct plan_outcome *out)
{
    const struct plan *plan = x->plan;
    *out = (struct plan_outcome){.frame = f, .improvement = *x};
    out->start_count = plan_place(a, plan, &out->starts);
    out->sale_count = plan_sales(a, plan, &out->sales);
    out->met_pieces = plan_met_pieces(a, plan, out->sales, out->sale_count);
    out->met_days = plan_met_days(a, f->p, out->sales, out->sale_count);
    out->short_count = plan_shorts(a, plan, out->met_pieces, &out->shorts);
    out->purpose_count = plan_purposes(a, plan, out->starts, out->start_count, out->sales,
                                       out->sale_count, &out->purposes);
    out->slack = slack_of_plan(a, plan);
}

struct result plan_make(struct arena *a, const struct plan_problem *p,
                        const struct improve_options *options, struct plan_outcome *out)
{
    *out = (struct plan_outcome){0};
    TRY(plan_problem_check(p));
    const struct plan_frame *f = plan_frame_make(a, p);
    const struct plan *plan = plan_construct(a, f);
    struct improvement x = {.plan = plan, .cost = plan_cost(a, plan)};
    if (options) plan_improve(a, f, plan, options, &x);
    plan_outcome_make(a, f, &x, out);
    return RESULT_OK;
}
