#include "plan/impose.h"

#include <string.h>

/* The taken start of the evening that one of these is, as far as one is left; same chamber first.
 */
static int taken_as(const struct plan_problem *p, const struct plan_taken *s, int day,
                    const bool *used, bool same_chamber)
{
    for (int i = 0; i < p->taken_count; i++) {
        const struct plan_taken *t = &p->taken[i];
        if (t->day == day && !used[i] && t->crop == s->crop && t->way == s->way &&
            (t->chamber == s->chamber || !same_chamber))
            return i;
    }
    return PLAN_NONE;
}

static void list_taken(struct arena *a, const struct plan_problem *p,
                       const struct plan_taken *starts, int start_count, struct plan_problem *q,
                       int *taken_of)
{
    struct plan_taken *taken =
        ARENA_ARRAY(a, struct plan_taken, (size_t)(p->taken_count + start_count) + 1);
    bool *used = ARENA_ARRAY(a, bool, (size_t)p->taken_count + 1);
    q->taken_count = 0;
    for (int i = 0; i < p->taken_count; i++) {
        if (p->taken[i].day == p->frozen_days) continue;
        taken_of[q->taken_count] = i;
        taken[q->taken_count++] = p->taken[i];
    }
    int first = q->taken_count;
    for (int round = 0; round < 2; round++)
        for (int i = 0; i < start_count; i++) {
            int *of = &taken_of[first + i];
            if (round > 0 && *of != PLAN_NONE) continue;
            *of = taken_as(p, &starts[i], p->frozen_days, used, round == 0);
            if (*of != PLAN_NONE) used[*of] = true;
        }
    if (start_count > 0) memcpy(&taken[first], starts, (size_t)start_count * sizeof *starts);
    q->taken_count += start_count;
    q->taken = taken;
}

/* Are the evening's starts within what it can take? */
static bool day_holds(const struct plan_problem *p, const struct plan_taken *starts, int count)
{
    const struct plan_day *day = &p->days[p->frozen_days];
    double seed_kg = 0;
    for (int i = 0; i < count; i++)
        seed_kg += starts[i].seed_kg;
    return count <= day->starts_max && seed_kg <= day->treat_seed_kg + 1e-6 &&
           seed_kg <= day->soak_seed_kg + 1e-6;
}

static bool drops_none(struct arena *a, const struct plan_problem *q, int day)
{
    const struct plan_frame *f = plan_frame_make(a, q);
    for (int i = 0; i < f->drop_count; i++)
        if (q->taken[f->drops[i].taken].day == day) return false;
    return true;
}

bool impose(struct arena *a, const struct plan_problem *p, const struct plan_taken *starts,
            int start_count, struct imposed *out)
{
    *out = (struct imposed){p, p, PLAN_NONE, NULL};
    if (p->frozen_days >= p->day_count || !day_holds(p, starts, start_count)) return false;
    struct plan_problem *q = ARENA_NEW(a, struct plan_problem);
    *q = *p;
    q->frozen_days++;
    int *taken_of = ARENA_ARRAY(a, int, (size_t)(p->taken_count + start_count) + 1);
    list_taken(a, p, starts, start_count, q, taken_of);
    if (!drops_none(a, q, p->frozen_days)) return false;
    *out = (struct imposed){p, q, p->frozen_days, taken_of};
    return true;
}

/* What the evening's starts cost, and taken ones not kept: both are given in p. */
static double cost_of(const struct imposed *x, const struct plan_outcome *o)
{
    double cost = 0;
    int wished = 0, kept = 0;
    for (int i = 0; i < x->from->taken_count; i++)
        wished += x->from->taken[i].day == x->day;
    for (int i = 0; i < o->start_count; i++) {
        const struct plan_placed *s = &o->starts[i];
        if (s->day != x->day) continue;
        kept += s->taken != PLAN_NONE;
        cost += x->from->crops[s->crop].start_cost;
        for (int k = 0; k < s->part_count; k++)
            cost += s->parts[k].kg * x->from->seed_lots[s->parts[k].lot].cost_per_kg;
    }
    return cost + x->from->change_cost * (wished - kept);
}

/* Why lines are short: people can still start more on the evening. */
static void tell_shorts(struct arena *a, const struct imposed *x, struct plan_outcome *outcome)
{
    struct plan_problem *open = ARENA_NEW(a, struct plan_problem);
    struct plan_frame *f = ARENA_NEW(a, struct plan_frame);
    struct plan plan = *outcome->improvement.plan;
    *open = *x->p;
    open->frozen_days = x->day;
    *f = *outcome->frame;
    f->p = open;
    plan.f = f;
    outcome->short_count = plan_shorts(a, &plan, outcome->met_pieces, &outcome->shorts);
}

void impose_tell(struct arena *a, const struct imposed *x, struct plan_outcome *outcome)
{
    if (x->day == PLAN_NONE) return;
    tell_shorts(a, x, outcome);
    for (int i = 0; i < outcome->start_count; i++) {
        struct plan_placed *s = &outcome->starts[i];
        if (s->day == x->day) s->is_fixed = false;
        if (s->taken != PLAN_NONE) s->taken = x->taken_of[s->taken];
    }
    struct plan_frame *f = ARENA_NEW(a, struct plan_frame);
    *f = *outcome->frame;
    f->drops = ARENA_ARRAY(a, struct plan_drop, (size_t)f->drop_count + 1);
    for (int i = 0; i < f->drop_count; i++)
        f->drops[i] = (struct plan_drop){x->taken_of[outcome->frame->drops[i].taken],
                                         outcome->frame->drops[i].reason};
    outcome->frame = f;
    double cost = cost_of(x, outcome);
    outcome->improvement.cost += cost;
    if (outcome->improvement.has_bound) outcome->improvement.bound += cost;
}
