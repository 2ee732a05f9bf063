#include "plan/pool.h"

/* By running lot, the choice that frees its chamber soonest. */
static int *soonest_choices(struct arena *a, const struct plan_problem *p)
{
    int *soonest = ARENA_ARRAY(a, int, (size_t)p->running_count + 1);
    for (int i = 0; i < p->running_count; i++)
        for (int c = 1; c <= p->running[i].other_count; c++)
            if (plan_running_day(&p->running[i], c) < plan_running_day(&p->running[i], soonest[i]))
                soonest[i] = c;
    return soonest;
}

static bool same_later_outages(const struct plan_problem *p, const int *soonest, int x, int y)
{
    const struct plan_chamber *c[2] = {&p->chambers[x], &p->chambers[y]};
    int free_day[2] = {plan_chamber_free_day(p, x, soonest), plan_chamber_free_day(p, y, soonest)};
    for (int side = 0; side < 2; side++) {
        for (int o = 0; o < c[side]->outage_count; o++) {
            const struct plan_outage *out = &c[side]->outages[o];
            if (out->from_day <= free_day[side]) continue;
            bool found = false;
            for (int q = 0; q < c[1 - side]->outage_count; q++) {
                const struct plan_outage *other = &c[1 - side]->outages[q];
                if (other->from_day == out->from_day && other->to_day == out->to_day &&
                    other->from_day > free_day[1 - side])
                    found = true;
            }
            if (!found) return false;
        }
    }
    return true;
}

static bool in_service(const struct plan_chamber *c, int day)
{
    for (int o = 0; o < c->outage_count; o++)
        if (day >= c->outages[o].from_day && day <= c->outages[o].to_day) return false;
    return true;
}

void plan_pools_make(struct plan_frame *f)
{
    const struct plan_problem *p = f->p;
    f->pools = ARENA_ARRAY(f->arena, struct plan_pool, (size_t)p->chamber_count + 1);
    f->pool_of_chamber = ARENA_ARRAY(f->arena, int, (size_t)p->chamber_count + 1);
    const int *soonest = soonest_choices(f->arena, p);
    for (int c = 0; c < p->chamber_count; c++) {
        int q = 0;
        while (q < f->pool_count && (f->pools[q].class_index != p->chambers[c].class_index ||
                                     !same_later_outages(p, soonest, f->pools[q].chambers[0], c)))
            q++;
        struct plan_pool *pool = &f->pools[q];
        if (q == f->pool_count) {
            f->pool_count++;
            pool->class_index = p->chambers[c].class_index;
            pool->chambers = ARENA_ARRAY(f->arena, int, (size_t)p->chamber_count);
            pool->usable = ARENA_ARRAY(f->arena, int, (size_t)f->span_days);
            pool->most = ARENA_ARRAY(f->arena, int, (size_t)f->span_days);
        }
        pool->chambers[pool->chamber_count++] = c;
        f->pool_of_chamber[c] = q;
        for (int d = plan_chamber_free_day(p, c, NULL); d < f->span_days; d++)
            pool->usable[d] += in_service(&p->chambers[c], d);
        for (int d = plan_chamber_free_day(p, c, soonest); d < f->span_days; d++)
            pool->most[d] += in_service(&p->chambers[c], d);
    }
}

bool plan_choice_counts(const struct plan_frame *f, int choice, int day)
{
    return in_service(&f->p->chambers[f->p->running[f->choices[choice].running].chamber], day);
}

int plan_choice_told(const struct plan_frame *f, int running)
{
    return f->first_choice[running] + f->p->running[running].told;
}

bool plan_choice_is_told(const struct plan_frame *f, int choice)
{
    return f->p->running[f->choices[choice].running].told == f->choices[choice].choice;
}

int plan_choice_frees(const struct plan_frame *f, int choice, int *from, int *to)
{
    int told = f->choices[plan_choice_told(f, f->choices[choice].running)].day;
    int day = f->choices[choice].day, cleaning = f->p->cleaning_days;
    *from = (day < told ? day : told) + cleaning;
    *to = (day < told ? told : day) + cleaning;
    return day < told ? 1 : -1;
}
