/* What a plan that was made earlier gives as things stand now: its amounts are taken as far as
 * goods, lead times and hours go, lines are served from what there is, and nothing is decided anew.
 * Rooms and tanks bound nothing unless told to: where it would overfill one, its level says so
 * (intake_levels). Where they bind, what keeps shortest leaves until the rest fits, of tanks by the
 * tank. */
#ifndef PLAN_INTAKE_FOLLOW_H
#define PLAN_INTAKE_FOLLOW_H

#include "plan/intake_plan.h"

/* kg, in the terms of the problem followed for. */
struct intake_wanted {
    double *use_kg;  /* (use * birth_count + birth) * days + day: taken in, of that age if there is
                        any, else oldest first */
    double *buy_kg;  /* offer * days + day it arrives */
    double *turn_kg; /* by delivery */
    double *out_kg;  /* good * days + day: leaves, with what a use gives too old */
    /* kg given for each kg taken in, (intake_first_part of the use + part) * days + day; NULL: the
     * problem's shares. With others the plan's own sums (intake_stock, intake_cost) don't hold. */
    double *share;
    bool rooms_bind;
};

/* How it went, with the shares it was followed by. */
struct intake_fared {
    double cost;       /* in the terms of intake.h */
    double left_kg;    /* left, for whatever reason */
    double no_room_kg; /* of that, for want of room */
};

/* Nothing. */
struct intake_wanted *intake_wanted_new(struct arena *a, const struct intake_frame *f);
/* Adds what a plan lets go of each good, too old at once or not; its days are those followed for.
 */
void intake_wanted_out(const struct intake_plan *plan, struct intake_wanted *w);
/* Parts of the uses before it; of use_count: of all. */
int intake_first_part(const struct intake_problem *p, int use);
/* So much of today's is done already: of the age of what was taken as far as it is wanted of it,
 * the rest from the oldest on. born_day may be one of which nothing stands any more. */
void intake_wanted_done(const struct intake_frame *f, struct intake_wanted *w, int use,
                        int born_day, double kg);
/* On each day: what comes, then uses (each also from what others gave that day), then
 * lines (dearest first, oldest that will do), then what leaves, what is past its life, and what has
 * no room. out NULL or how it went. */
struct intake_plan *intake_follow(struct arena *a, const struct intake_frame *f,
                                  const struct intake_wanted *wanted, struct intake_fared *out);

#endif
