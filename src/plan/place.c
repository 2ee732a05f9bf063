#include "plan/place.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"

struct placing {
    struct arena *arena;
    const struct plan *plan;
    const struct plan_frame *f;
    double *lot_kg;
    int *free_day, *idle_since; /* by chamber */
    struct plan_placed *placed;
    int count;
    bool *wish_used; /* by taken start */
};

/* seed */

/* The lots behind an option's seed, in the order they are weighed out. -> count */
static int lots_of(struct placing *x, int option, struct plan_seed_part *out)
{
    const struct plan_frame *f = x->f;
    const struct plan_option *o = &f->options[option];
    int count = 0;
    for (int i = o->first_fill; i < o->first_fill + f->blends[o->blend].grade_count; i++) {
        double need_kg = x->plan->seed_kg[i];
        const struct plan_grade *g = &f->grades[f->fills[i].grade];
        for (int k = 0; k < g->lot_count && need_kg > 1e-6; k++) {
            int lot = g->lots[k];
            double kg = fmin(need_kg, x->lot_kg[lot]);
            if (kg <= 1e-9 || !plan_lot_usable(&f->p->seed_lots[lot], o->day)) continue;
            out[count++] = (struct plan_seed_part){lot, kg};
            x->lot_kg[lot] -= kg;
            need_kg -= kg;
        }
    }
    return count;
}

/* Seed for the next of `chambers` chambers that share total_kg, lot_kg of it still in the lot at
 * hand: what empties that lot into whole chambers where the bounds let it, else an equal share. */
static double next_filling(const struct plan_option *o, int chambers, double total_kg,
                           double lot_kg)
{
    double share_kg = total_kg / chambers, best_kg = share_kg, best_off = INFINITY;
    double rest_kg = total_kg - lot_kg;
    if (rest_kg <= 1e-9) return share_kg;
    for (int k = 1; k < chambers; k++) {
        double kg = lot_kg / k;
        if (kg < o->seed_min_kg || kg > o->seed_max_kg) continue;
        double others_kg = rest_kg / (chambers - k);
        if (others_kg < o->seed_min_kg || others_kg > o->seed_max_kg) continue;
        if (fabs(kg - share_kg) >= best_off) continue;
        best_off = fabs(kg - share_kg);
        best_kg = kg;
    }
    return best_kg;
}

static void fill_chamber(struct placing *x, struct plan_placed *p, double seed_kg,
                         struct plan_seed_part *parts, int part_count, int *at)
{
    const struct plan_problem *problem = x->f->p;
    double yield = plan_way_yield(&problem->crops[p->crop].ways[p->way]);
    p->parts = ARENA_ARRAY(x->arena, struct plan_seed_part, (size_t)(part_count - *at) + 1);
    while (seed_kg > 1e-9 && *at < part_count) {
        double kg = fmin(seed_kg, parts[*at].kg);
        int lot = parts[*at].lot;
        p->parts[p->part_count++] = (struct plan_seed_part){lot, kg};
        p->seed_kg += kg;
        p->packed_kg += kg * yield * problem->seed_lots[lot].yield_factor;
        parts[*at].kg -= kg;
        seed_kg -= kg;
        if (parts[*at].kg <= 1e-9) ++*at;
    }
}

/* A taken start that the option repeats, not yet spoken for; PLAN_NONE. */
static int wish_for(struct placing *x, const struct plan_option *o)
{
    const struct plan_problem *p = x->f->p;
    for (int i = 0; i < p->taken_count; i++) {
        const struct plan_taken *t = &p->taken[i];
        if (x->wish_used[i] || t->day < p->frozen_days || t->day != o->day || t->crop != o->crop ||
            t->way != o->way || x->f->pool_of_chamber[t->chamber] != o->pool)
            continue;
        x->wish_used[i] = true;
        return i;
    }
    return PLAN_NONE;
}

static void option_starts(struct placing *x, int option)
{
    const struct plan_frame *f = x->f;
    const struct plan_option *o = &f->options[option];
    int chambers = x->plan->counts[option];
    if (chambers == 0) return;
    struct plan_seed_part *parts =
        ARENA_ARRAY(x->arena, struct plan_seed_part, (size_t)f->p->seed_lot_count + 1);
    int part_count = lots_of(x, option, parts), at = 0;
    double total_kg = 0;
    for (int i = 0; i < part_count; i++)
        total_kg += parts[i].kg;
    for (; chambers > 0; chambers--) {
        struct plan_placed *p = &x->placed[x->count++];
        *p = (struct plan_placed){.day = o->day,
                                  .harvest_day = o->harvest_day,
                                  .last_day = o->last_day,
                                  .crop = o->crop,
                                  .way = o->way,
                                  .harvest_count = o->harvest_count,
                                  .harvests = o->harvests,
                                  .chamber = PLAN_NONE,
                                  .taken = wish_for(x, o),
                                  .markets = f->blends[o->blend].markets};
        double lot_kg = at < part_count ? parts[at].kg : total_kg;
        double seed_kg = chambers == 1 ? total_kg : next_filling(o, chambers, total_kg, lot_kg);
        fill_chamber(x, p, seed_kg, parts, part_count, &at);
        total_kg = fmax(0, total_kg - seed_kg);
    }
}

static void fixed_starts(struct placing *x)
{
    const struct plan_problem *p = x->f->p;
    for (int i = 0; i < x->f->fixed_count; i++) {
        const struct plan_fixed *fixed = &x->f->fixed[i];
        const struct plan_taken *t = &p->taken[fixed->taken];
        struct plan_placed *s = &x->placed[x->count++];
        *s = (struct plan_placed){.day = t->day,
                                  .harvest_day = fixed->harvests[0].day,
                                  .last_day = fixed->last_day,
                                  .crop = t->crop,
                                  .way = t->way,
                                  .harvest_count = fixed->harvest_count,
                                  .harvests = fixed->harvests,
                                  .chamber = PLAN_NONE,
                                  .taken = fixed->taken,
                                  .is_fixed = true,
                                  .packed_kg = fixed->packed_kg,
                                  .markets = fixed->markets,
                                  .part_count = fixed->part_count,
                                  .parts = fixed->parts};
        for (int k = 0; k < s->part_count; k++)
            s->seed_kg += s->parts[k].kg;
    }
}

/* chambers */

static bool is_open(const struct placing *x, int chamber, const struct plan_placed *s)
{
    const struct plan_problem *p = x->f->p;
    if (x->free_day[chamber] > s->day) return false;
    const struct plan_chamber *c = &p->chambers[chamber];
    int last_day = s->last_day + p->cleaning_days - 1;
    for (int o = 0; o < c->outage_count; o++)
        if (c->outages[o].from_day <= last_day && c->outages[o].to_day >= s->day) return false;
    return true;
}

/* The day on which a taken start next waits for the chamber; PLAN_NEVER: none does. */
static int awaited_on(const struct placing *x, int chamber, int from)
{
    for (int i = from; i < x->count; i++)
        if (x->placed[i].chamber == PLAN_NONE && x->placed[i].taken != PLAN_NONE &&
            x->f->p->taken[x->placed[i].taken].chamber == chamber)
            return x->placed[i].day;
    return PLAN_NEVER;
}

static int pool_of(const struct placing *x, const struct plan_placed *s, int option_pool)
{
    return s->taken != PLAN_NONE ? x->f->pool_of_chamber[x->f->p->taken[s->taken].chamber]
                                 : option_pool;
}

static int chamber_for(const struct placing *x, int index, int pool)
{
    const struct plan_placed *s = &x->placed[index];
    if (s->taken != PLAN_NONE) {
        int wanted = x->f->p->taken[s->taken].chamber;
        if (is_open(x, wanted, s)) return wanted;
    }
    int best = PLAN_NONE, best_awaited = 0;
    const struct plan_pool *q = &x->f->pools[pool];
    for (int i = 0; i < q->chamber_count; i++) {
        int c = q->chambers[i];
        if (!is_open(x, c, s)) continue;
        int awaited = awaited_on(x, c, index + 1); /* who waits longest finds another soonest */
        bool better = best == PLAN_NONE || awaited > best_awaited ||
                      (awaited == best_awaited && x->idle_since[c] < x->idle_since[best]);
        if (!better) continue;
        best = c;
        best_awaited = awaited;
    }
    CHECK(best != PLAN_NONE);
    return best;
}

struct day_order {
    struct plan_placed start;
    int pool, index;
};

static int by_day(const void *x, const void *y)
{
    const struct day_order *a = x, *b = y;
    if (a->start.day != b->start.day) return a->start.day < b->start.day ? -1 : 1;
    bool p = a->start.taken != PLAN_NONE, q = b->start.taken != PLAN_NONE;
    if (p != q) return p ? -1 : 1;
    return (a->index > b->index) - (a->index < b->index);
}

static int by_day_and_chamber(const void *x, const void *y)
{
    const struct plan_placed *a = x, *b = y;
    if (a->day != b->day) return a->day < b->day ? -1 : 1;
    return (a->chamber > b->chamber) - (a->chamber < b->chamber);
}

static void chambers_give(struct placing *x, const int *pools)
{
    const struct plan_problem *p = x->f->p;
    struct day_order *order = ARENA_ARRAY(x->arena, struct day_order, (size_t)x->count + 1);
    for (int i = 0; i < x->count; i++)
        order[i] = (struct day_order){x->placed[i], pool_of(x, &x->placed[i], pools[i]), i};
    qsort(order, (size_t)x->count, sizeof *order, by_day);
    for (int i = 0; i < x->count; i++)
        x->placed[i] = order[i].start;
    for (int i = 0; i < x->count; i++) {
        int c = chamber_for(x, i, order[i].pool);
        x->placed[i].chamber = c;
        x->free_day[c] = x->placed[i].last_day + p->cleaning_days;
        x->idle_since[c] = x->free_day[c];
    }
    qsort(x->placed, (size_t)x->count, sizeof *x->placed, by_day_and_chamber);
}

int plan_place(struct arena *a, const struct plan *plan, struct plan_placed **out)
{
    const struct plan_frame *f = plan->f;
    const struct plan_problem *p = f->p;
    struct placing x = {.arena = a, .plan = plan, .f = f};
    int room = f->fixed_count;
    for (int o = 0; o < f->option_count; o++)
        room += plan->counts[o];
    x.placed = ARENA_ARRAY(a, struct plan_placed, (size_t)room + 1);
    x.lot_kg = ARENA_ARRAY(a, double, (size_t)p->seed_lot_count + 1);
    x.free_day = ARENA_ARRAY(a, int, (size_t)p->chamber_count + 1);
    x.idle_since = ARENA_ARRAY(a, int, (size_t)p->chamber_count + 1);
    x.wish_used = ARENA_ARRAY(a, bool, (size_t)p->taken_count + 1);
    int *pools = ARENA_ARRAY(a, int, (size_t)room + 1);
    memcpy(x.lot_kg, f->lot_kg, (size_t)p->seed_lot_count * sizeof *x.lot_kg);
    for (int c = 0; c < p->chamber_count; c++) {
        x.free_day[c] = plan_chamber_free_day(p, c, plan->choices);
        x.idle_since[c] = x.free_day[c] > 0 ? x.free_day[c] : p->chambers[c].idle_since_day;
    }
    fixed_starts(&x);
    for (int o = 0; o < f->option_count; o++) {
        int from = x.count;
        option_starts(&x, o);
        for (int i = from; i < x.count; i++)
            pools[i] = f->options[o].pool;
    }
    chambers_give(&x, pools);
    *out = x.placed;
    return x.count;
}
