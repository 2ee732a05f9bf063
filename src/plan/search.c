#include "plan/search.h"

#include <limits.h>
#include <math.h>
#include <string.h>

#include "base/check.h"

enum { LOOK_EVERY = 512, JUDGED_LOOK_EVERY = 16, REACH_DAYS = 3 };

static const double NOTHING = 1e-9;

struct search_prices search_prices_new(struct arena *a, const struct plan_frame *f)
{
    size_t days = (size_t)f->p->day_count;
    return (struct search_prices){.grade = ARENA_ARRAY(a, double, (size_t)f->grade_count + 1),
                                  .treat = ARENA_ARRAY(a, double, days),
                                  .soak = ARENA_ARRAY(a, double, days),
                                  .bed = ARENA_ARRAY(a, double, days),
                                  .pack = ARENA_ARRAY(a, double, days),
                                  .work =
                                      ARENA_ARRAY(a, double, (size_t)f->p->work_count *days + 1)};
}

/* making */

static bool grade_usable(const struct plan_frame *f, int grade, int day)
{
    for (int i = 0; i < f->grades[grade].lot_count; i++) {
        int lot = f->grades[grade].lots[i];
        if (plan_lot_usable(&f->p->seed_lots[lot], day) && f->lot_kg[lot] > 1e-9) return true;
    }
    return false;
}

/* The fill that gives the cheapest packed kg. */
static int cheapest_fill(const struct plan_frame *f, const struct search_prices *prices, int option)
{
    const struct plan_option *o = &f->options[option];
    int best = PLAN_NONE;
    double best_cost = INFINITY;
    for (int i = o->first_fill; i < o->first_fill + f->blends[o->blend].grade_count; i++) {
        int g = f->fills[i].grade;
        if (!grade_usable(f, g, o->day)) continue;
        double cost = (f->grades[g].cost_per_kg + prices->grade[g]) / f->fills[i].packed_kg_per_kg;
        if (cost >= best_cost) continue;
        best_cost = cost;
        best = i;
    }
    CHECK(best != PLAN_NONE); /* the frame makes no option without seed */
    return best;
}

static int wish_of(const struct plan_frame *f, const struct plan_option *o)
{
    for (int w = 0; w < f->wish_count; w++) {
        const struct plan_wish *x = &f->wishes[w];
        if (x->day == o->day && x->crop == o->crop && x->way == o->way && x->pool == o->pool)
            return w;
    }
    return PLAN_NONE;
}

static void make_options(struct search *s, struct arena *a, const struct search_prices *prices,
                         double *seed_cost, double *seed_yield)
{
    const struct plan_frame *f = s->f;
    int crops = f->p->crop_count, at = 0;
    s->options = ARENA_ARRAY(a, struct search_option, (size_t)f->option_count + 1);
    s->first_option = ARENA_ARRAY(a, int, (size_t)(f->p->day_count * crops) + 1);
    for (int o = 0; o < f->option_count; o++) {
        const struct plan_option *x = &f->options[o];
        int fill = cheapest_fill(f, prices, o), grade = f->fills[fill].grade;
        seed_yield[o] = f->fills[fill].packed_kg_per_kg;
        seed_cost[o] = f->grades[grade].cost_per_kg + prices->grade[grade] + prices->treat[x->day] +
                       prices->soak[x->day];
        s->options[o] = (struct search_option){
            .flow = x->crop,
            .day = x->day,
            .harvest_day = x->harvest_day,
            .last_day = x->last_day,
            .more_count = x->harvest_count - 1,
            .more = x->harvests + 1,
            .pool = x->pool,
            .blend = x->blend,
            .grade = grade,
            .wish = wish_of(f, x),
            .frozen = x->is_replacement ? x->day * crops + x->crop : PLAN_NONE,
            .own_cost = f->p->crops[x->crop].start_cost + x->seed_min_kg * seed_cost[o],
            .seed_min_kg = x->seed_min_kg};
        for (; at <= x->day * crops + x->crop; at++)
            s->first_option[at] = o;
    }
    for (; at <= f->p->day_count * crops; at++)
        s->first_option[at] = f->option_count;
}

static int left_of(int limit, int taken)
{
    if (limit == INT_MAX) return INT_MAX;
    return limit > taken ? limit - taken : 0;
}

static void make_room(struct search *s, struct arena *a)
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
            harvests += p->running[i].harvest_day == d;
        s->harvests_left[d] = d < days ? left_of(p->days[d].harvests_max, harvests) : INT_MAX;
        if (d >= days) continue;
        s->starts_left[d] = left_of(p->days[d].starts_max, starts);
        s->treat_left_kg[d] = p->days[d].treat_seed_kg - seed_kg;
        s->soak_left_kg[d] = p->days[d].soak_seed_kg - seed_kg;
        for (int k = 0; k < p->crop_count; k++)
            s->frozen_left[d * p->crop_count + k] = plan_dropped(f, d, k);
    }
}

struct search *search_new(struct arena *a, const struct plan_frame *f,
                          const struct search_prices *prices, uint64_t seed)
{
    struct search *s = ARENA_NEW(a, struct search);
    s->f = f;
    random_seed(&s->random, seed);
    size_t options = (size_t)f->option_count + 1;
    double *seed_cost = ARENA_ARRAY(a, double, options);
    double *seed_yield = ARENA_ARRAY(a, double, options);
    double *goods_cost = ARENA_ARRAY(a, double, (size_t)f->node_count + 1);
    for (int n = 0; n < f->node_count; n++) {
        const struct plan_node *x = &f->nodes[n];
        if (x->is_stock) continue;
        goods_cost[n] = prices->bed[x->harvest_day] * f->p->crops[x->crop].bed_kg_per_packed_kg +
                        prices->pack[x->harvest_day];
        for (int w = 0; w < f->p->work_count; w++)
            goods_cost[n] += prices->work[w * f->p->day_count + x->harvest_day] *
                             f->p->works[w].per_packed_kg[x->crop];
    }
    make_options(s, a, prices, seed_cost, seed_yield);
    make_room(s, a);
    s->chambers = ARENA_ARRAY(a, struct flow_chamber, options);
    s->counts = ARENA_ARRAY(a, int, options);
    s->best_counts = ARENA_ARRAY(a, int, options);
    s->started = ARENA_ARRAY(a, int, options);
    s->started_at = ARENA_ARRAY(a, int, options);
    s->flows = ARENA_ARRAY(a, struct flow *, (size_t)f->p->crop_count + 1);
    struct flow_terms terms = {seed_cost, seed_yield, goods_cost};
    for (int k = 0; k < f->p->crop_count; k++) {
        s->flows[k] = flow_new(a, f, k, &terms, s->chambers);
        flow_price(s->flows[k]);
        s->cost += s->flows[k]->cost;
    }
    for (int w = 0; w < f->wish_count; w++)
        s->cost += f->p->change_cost * f->wishes[w].count;
    s->best_cost = s->cost;
    return s;
}

void search_release(struct search *s)
{
    for (int k = 0; k < s->f->p->crop_count; k++)
        flow_release(s->flows[k]);
}

/* room */

static void book(struct search *s, int option, int sign)
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

/* After book: is everything still within its limits where the option counts? */
static bool holds(const struct search *s, int option)
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

static double wish_step(const struct search *s, int option, int sign)
{
    int w = s->options[option].wish;
    if (w == PLAN_NONE) return 0;
    int short_before = s->f->wishes[w].count - s->wish_kept[w];
    int short_after = short_before - sign;
    return s->f->p->change_cost *
           ((short_after > 0 ? short_after : 0) - (short_before > 0 ? short_before : 0));
}

static void count(struct search *s, int option, int sign)
{
    int before = s->counts[option];
    s->counts[option] += sign;
    if (s->options[option].wish != PLAN_NONE) s->wish_kept[s->options[option].wish] += sign;
    if (before == 0) {
        s->started_at[option] = s->started_count;
        s->started[s->started_count++] = option;
    } else if (s->counts[option] == 0) {
        int last = s->started[--s->started_count];
        s->started[s->started_at[option]] = last;
        s->started_at[last] = s->started_at[option];
    }
}

/* moves: one chamber taken from an option, or added to one, or both */

struct move {
    int from, to; /* PLAN_NONE */
};

static int pick(struct search *s, int n)
{
    return (int)random_below(&s->random, (uint64_t)n);
}

static struct move pick_move(struct search *s)
{
    const struct plan_frame *f = s->f;
    int kind = pick(s, 16), crops = f->p->crop_count;
    struct move m = {PLAN_NONE, PLAN_NONE};
    if (kind < 3 || s->started_count == 0) {
        m.to = pick(s, f->option_count);
        return m;
    }
    m.from = s->started[pick(s, s->started_count)];
    if (kind < 5) return m;
    const struct search_option *o = &s->options[m.from];
    int day = o->day + pick(s, 2 * REACH_DAYS + 1) - REACH_DAYS;
    int crop = kind < 11 ? o->flow : pick(s, crops);
    if (day < 0 || day >= f->p->day_count) return m;
    int first = s->first_option[day * crops + crop];
    int room = s->first_option[day * crops + crop + 1] - first;
    if (room > 0) m.to = first + pick(s, room);
    if (m.to == m.from) m.to = PLAN_NONE;
    return m;
}

/* What the move changes beside goods: starts, least fillings, starts taken that are not kept. */
static double own_step(const struct search *s, struct move m)
{
    const struct search_option *from = m.from != PLAN_NONE ? &s->options[m.from] : NULL;
    const struct search_option *to = m.to != PLAN_NONE ? &s->options[m.to] : NULL;
    double cost = (to ? to->own_cost : 0) - (from ? from->own_cost : 0);
    if (from && to && from->wish == to->wish) return cost;
    if (from) cost += wish_step(s, m.from, -1);
    if (to) cost += wish_step(s, m.to, 1);
    return cost;
}

/* What the move costs at least. */
static double move_bound(const struct search *s, struct move m)
{
    double cost = own_step(s, m);
    const struct flow *from = NULL, *to = NULL;
    const struct flow_chamber *x = NULL, *y = NULL;
    if (m.from != PLAN_NONE) {
        from = s->flows[s->options[m.from].flow];
        x = &s->chambers[m.from];
    }
    if (m.to != PLAN_NONE) {
        to = s->flows[s->options[m.to].flow];
        y = &s->chambers[m.to];
    }
    if (from != to || !from) {
        if (from) cost += flow_remove_bound(from, x, from->ask);
        if (to) cost += flow_add_bound(to, y, to->bid);
        return cost;
    }
    /* in one crop both at the same prices: either set of them gives a bound */
    double best = flow_remove_bound(from, x, from->bid) + flow_add_bound(from, y, from->bid);
    if (isfinite(from->ask[y->node]))
        best =
            fmax(best, flow_remove_bound(from, x, from->ask) + flow_add_bound(from, y, from->ask));
    return cost + best;
}

static bool book_move(struct search *s, struct move m)
{
    if (m.from != PLAN_NONE) book(s, m.from, -1);
    if (m.to == PLAN_NONE) return true;
    book(s, m.to, 1);
    if (holds(s, m.to)) return true;
    book(s, m.to, -1);
    if (m.from != PLAN_NONE) book(s, m.from, 1);
    return false;
}

static double flow_move(struct search *s, struct move m, struct flow *flows[2])
{
    flows[0] = m.from != PLAN_NONE ? s->flows[s->options[m.from].flow] : NULL;
    flows[1] = m.to != PLAN_NONE ? s->flows[s->options[m.to].flow] : NULL;
    if (flows[0] == flows[1]) flows[0] = NULL;
    double before = 0, after = 0;
    for (int i = 0; i < 2; i++)
        if (flows[i]) {
            flow_keep(flows[i]);
            before += flows[i]->cost;
        }
    if (m.from != PLAN_NONE) flow_remove(s->flows[s->options[m.from].flow], &s->chambers[m.from]);
    if (m.to != PLAN_NONE) flow_add(s->flows[s->options[m.to].flow], &s->chambers[m.to]);
    for (int i = 0; i < 2; i++)
        if (flows[i]) after += flows[i]->cost;
    return after - before;
}

static void count_move(struct search *s, struct move m, int sign)
{
    if (m.from != PLAN_NONE) count(s, m.from, -sign);
    if (m.to != PLAN_NONE) count(s, m.to, sign);
}

static void unbook_move(struct search *s, struct move m)
{
    if (m.to != PLAN_NONE) book(s, m.to, -1);
    if (m.from != PLAN_NONE) book(s, m.from, 1);
}

static void flow_settle(struct flow *flows[2], bool taken)
{
    for (int i = 0; i < 2; i++) {
        if (!flows[i]) continue;
        if (taken)
            flow_price(flows[i]);
        else
            flow_undo(flows[i]);
    }
}

/* Makes the move if it costs no more than most. */
static bool try_move(struct search *s, struct move m, double most)
{
    s->moves++;
    if (move_bound(s, m) > most || !book_move(s, m)) return false;
    s->tried++;
    struct flow *flows[2];
    double cost = own_step(s, m) + flow_move(s, m, flows);
    bool taken = cost <= most;
    flow_settle(flows, taken);
    if (!taken) {
        unbook_move(s, m);
        return false;
    }
    s->cost += cost;
    count_move(s, m, 1);
    return true;
}

static void note_best(struct search *s)
{
    if (s->cost >= s->best_cost - 1e-7) return;
    s->best_cost = s->cost;
    memcpy(s->best_counts, s->counts, (size_t)s->f->option_count * sizeof *s->counts);
}

void search_start_from(struct search *s, const int *counts)
{
    for (int o = 0; o < s->f->option_count; o++) {
        while (s->counts[o] > counts[o] && try_move(s, (struct move){o, PLAN_NONE}, INFINITY))
            continue;
    }
    for (int o = 0; o < s->f->option_count; o++)
        while (s->counts[o] < counts[o] && try_move(s, (struct move){PLAN_NONE, o}, INFINITY))
            continue;
    note_best(s);
}

static double chamber_cost(const struct search *s)
{
    double sum = 0;
    for (int o = 0; o < s->f->option_count; o++)
        sum += s->options[o].own_cost;
    return sum / (s->f->option_count > 0 ? s->f->option_count : 1);
}

void search_anneal(struct search *s, double hot, double cold, int64_t moves,
                   const struct search_watch *watch)
{
    if (s->f->option_count == 0) return;
    double unit = chamber_cost(s), heat = 0;
    for (int64_t i = 0; i < moves; i++) {
        if (i % LOOK_EVERY == 0) {
            if (watch && watch->is_over(watch->self)) return;
            heat = unit * hot * pow(cold / hot, (double)i / (double)moves);
        }
        double most = -heat * log(1 - random_unit(&s->random));
        if (try_move(s, pick_move(s), most)) note_best(s);
    }
}

/* moves whose worth somebody else tells */

static bool try_judged(struct search *s, struct move m, double heat,
                       const struct search_judge *judge, double *cost)
{
    s->moves++;
    if (!book_move(s, m)) return false;
    s->tried++;
    struct flow *flows[2];
    double step = own_step(s, m) + flow_move(s, m, flows);
    count_move(s, m, 1);
    double after = judge->cost(judge->self, s);
    bool taken = after - *cost <= -heat * log(1 - random_unit(&s->random));
    flow_settle(flows, taken);
    if (!taken) {
        count_move(s, m, -1);
        unbook_move(s, m);
        return false;
    }
    s->cost += step;
    *cost = after;
    return true;
}

void search_anneal_judged(struct search *s, double hot, double cold, int64_t moves,
                          const struct search_judge *judge, const struct search_watch *watch)
{
    if (s->f->option_count == 0) return;
    double unit = chamber_cost(s), cost = judge->cost(judge->self, s);
    for (int64_t i = 0; i < moves; i++) {
        if (i % JUDGED_LOOK_EVERY == 0 && watch && watch->is_over(watch->self)) return;
        double heat = unit * hot * pow(cold / hot, (double)i / (double)moves);
        try_judged(s, pick_move(s), heat, judge, &cost);
    }
}
