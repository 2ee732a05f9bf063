#include "plan/search_room.h"

#include <limits.h>
#include <math.h>

#include "plan/pool.h"

static const double NOTHING = 1e-9;

static int left_of(int limit, int taken)
{
    if (limit == INT_MAX) return INT_MAX;
    return limit > taken ? limit - taken : 0;
}

void search_room_make(struct search *s, struct arena *a)
{
    const struct plan_frame *f = s->f;
    const struct plan_problem *p = f->p;
    int days = p->day_count;
    s->free_chambers = ARENA_ARRAY(a, int, (size_t)(f->pool_count * f->span_days) + 1);
    for (int q = 0; q < f->pool_count; q++)
        for (int d = 0; d < f->span_days; d++) {
            int at = q * f->span_days + d;
            s->free_chambers[at] = left_of(f->pools[q].usable[d], f->busy_fixed[at]);
        }
    s->starts_left = ARENA_ARRAY(a, int, (size_t)days);
    s->harvests_left = ARENA_ARRAY(a, int, (size_t)f->span_days);
    s->treat_left_kg = ARENA_ARRAY(a, double, (size_t)days);
    s->soak_left_kg = ARENA_ARRAY(a, double, (size_t)days);
    s->blend_need_kg = ARENA_ARRAY(a, double, (size_t)(f->blend_count * days) + 1);
    s->frozen_left = ARENA_ARRAY(a, int, (size_t)(days * p->crop_count) + 1);
    s->wish_kept = ARENA_ARRAY(a, int, (size_t)f->wish_count + 1);
    for (int d = 0; d < f->span_days; d++) {
        int starts = 0, harvests = 0;
        double seed_kg = 0;
        for (int i = 0; i < f->fixed_count; i++) {
            const struct plan_taken *t = &p->taken[f->fixed[i].taken];
            starts += t->day == d;
            seed_kg += t->day == d ? t->seed_kg : 0;
            for (int h = 0; h < f->fixed[i].harvest_count; h++)
                harvests += f->fixed[i].harvests[h].day == d;
        }
        for (int i = 0; i < p->running_count; i++)
            harvests += plan_running_day(&p->running[i], p->running[i].told) == d;
        s->harvests_left[d] = d < days ? left_of(p->days[d].harvests_max, harvests) : INT_MAX;
        if (d >= days) continue;
        s->starts_left[d] = left_of(p->days[d].starts_max, starts);
        s->treat_left_kg[d] = p->days[d].treat_seed_kg - seed_kg;
        s->soak_left_kg[d] = p->days[d].soak_seed_kg - seed_kg;
        for (int k = 0; k < p->crop_count; k++)
            s->frozen_left[d * p->crop_count + k] = plan_dropped(f, d, k);
    }
}

void search_book(struct search *s, int option, int sign)
{
    const struct search_option *o = &s->options[option];
    int *chambers = &s->free_chambers[o->pool * s->f->span_days];
    int last = o->last_day + s->f->p->cleaning_days;
    for (int d = o->day; d < last; d++)
        chambers[d] -= sign;
    if (s->starts_left[o->day] != INT_MAX) s->starts_left[o->day] -= sign;
    if (s->harvests_left[o->harvest_day] != INT_MAX) s->harvests_left[o->harvest_day] -= sign;
    for (int h = 0; h < o->more_count; h++)
        if (s->harvests_left[o->more[h].day] != INT_MAX) s->harvests_left[o->more[h].day] -= sign;
    if (o->frozen != PLAN_NONE) s->frozen_left[o->frozen] -= sign;
    s->treat_left_kg[o->day] -= sign * o->seed_min_kg;
    s->soak_left_kg[o->day] -= sign * o->seed_min_kg;
    s->blend_need_kg[o->blend * s->f->p->day_count + o->day] += sign * o->seed_min_kg;
}

static int *chambers_of(const struct search *s, int choice)
{
    const struct plan_problem *p = s->f->p;
    int chamber = p->running[s->f->choices[choice].running].chamber;
    return &s->free_chambers[s->f->pool_of_chamber[chamber] * s->f->span_days];
}

void search_book_choice(struct search *s, int choice, int sign)
{
    int from, to, frees = plan_choice_frees(s->f, choice, &from, &to) * sign;
    int *chambers = chambers_of(s, choice), *left = &s->harvests_left[s->f->choices[choice].day];
    for (int d = from; d < to && !plan_choice_is_told(s->f, choice); d++)
        if (plan_choice_counts(s->f, choice, d)) chambers[d] += frees;
    if (*left != INT_MAX) *left -= sign;
}

bool search_choice_holds(const struct search *s, int left, int taken)
{
    int from, to;
    if (s->harvests_left[s->f->choices[taken].day] < 0) return false;
    for (int side = 0; side < 2; side++) {
        plan_choice_frees(s->f, side ? taken : left, &from, &to);
        const int *chambers = chambers_of(s, taken);
        for (int d = from; d < to; d++)
            if (chambers[d] < 0) return false;
    }
    return true;
}

/* Least fillings of a blend, whichever way its lots' days are cut in two. */
static bool seed_suffices(const struct search *s, int blend, int day)
{
    const struct plan_frame *f = s->f;
    const struct plan_blend *b = &f->blends[blend];
    const double *need = &s->blend_need_kg[blend * f->p->day_count];
    double until_kg = 0, from_kg = 0, have_until_kg = 0, have_from_kg = 0, all_kg = 0, have_kg = 0;
    for (int d = 0; d < f->p->day_count; d++) {
        until_kg += d <= day ? need[d] : 0;
        from_kg += d >= day ? need[d] : 0;
        all_kg += need[d];
    }
    for (int g = b->first_grade; g < b->first_grade + b->grade_count; g++)
        for (int i = 0; i < f->grades[g].lot_count; i++) {
            int lot = f->grades[g].lots[i];
            const struct plan_seed_lot *l = &f->p->seed_lots[lot];
            double kg = fmax(0, f->lot_kg[lot]);
            have_until_kg += l->from_day <= day ? kg : 0;
            have_from_kg += l->last_day >= day ? kg : 0;
            have_kg += kg;
        }
    return until_kg <= have_until_kg + NOTHING && from_kg <= have_from_kg + NOTHING &&
           all_kg <= have_kg + NOTHING;
}

bool search_holds(const struct search *s, int option)
{
    const struct search_option *o = &s->options[option];
    if (s->starts_left[o->day] < 0 || s->harvests_left[o->harvest_day] < 0) return false;
    for (int h = 0; h < o->more_count; h++)
        if (s->harvests_left[o->more[h].day] < 0) return false;
    const int *chambers = &s->free_chambers[o->pool * s->f->span_days];
    int last = o->last_day + s->f->p->cleaning_days;
    for (int d = o->day; d < last; d++)
        if (chambers[d] < 0) return false;
    if (o->frozen != PLAN_NONE && s->frozen_left[o->frozen] < 0) return false;
    return s->treat_left_kg[o->day] >= -NOTHING && s->soak_left_kg[o->day] >= -NOTHING &&
           seed_suffices(s, o->blend, o->day);
}

struct flow *search_flow_from(const struct search *s, int crop)
{
    return s->f->tied_to[crop] == crop ? s->flows[crop] : NULL;
}
