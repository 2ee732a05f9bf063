#include "plan/make.h"

#include "plan/construct.h"

struct result plan_make(struct arena *a, const struct plan_problem *p,
                        const struct improve_options *options, struct plan_outcome *out)
{
    *out = (struct plan_outcome){0};
    TRY(plan_problem_check(p));
    out->frame = plan_frame_make(a, p);
    const struct plan *plan = plan_construct(a, out->frame);
    if (options)
        plan_improve(a, out->frame, plan, options, &out->improvement);
    else
        out->improvement = (struct improvement){.plan = plan, .cost = plan_cost(a, plan)};
    plan = out->improvement.plan;
    out->start_count = plan_place(a, plan, &out->starts);
    out->sale_count = plan_sales(a, plan, &out->sales);
    out->met_pieces = plan_met_pieces(a, plan, out->sales, out->sale_count);
    out->met_days = plan_met_days(a, plan, out->sales, out->sale_count);
    out->short_count = plan_shorts(a, plan, out->met_pieces, &out->shorts);
    out->purpose_count = plan_purposes(a, plan, out->starts, out->start_count, out->sales,
                                       out->sale_count, &out->purposes);
    out->slack = slack_of_plan(a, plan);
    return RESULT_OK;
}
