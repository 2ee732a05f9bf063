#include "plan/search.h"

#include <limits.h>
#include <math.h>
#include <string.h>

#include "base/check.h"
#include "plan/pool.h"
#include "plan/search_pick.h"
#include "plan/search_room.h"

/* PAIR_EVERY: moves of two crops' chambers, where crops are packed together. */
enum { LOOK_EVERY = 512, JUDGED_LOOK_EVERY = 16, PAIR_EVERY = 3 };

struct search_prices search_prices_new(struct arena *a, const struct plan_frame *f)
{
    size_t days = (size_t)f->p->day_count;
    double *with = ARENA_ARRAY(a, double, (size_t)f->cell_count + 1);
    for (int c = 0; c < f->cell_count; c++)
        with[c] = f->cells[c].own != PLAN_NONE ? f->cells[c].worth_per_kg : 0;
    return (struct search_prices){
        .grade = ARENA_ARRAY(a, double, (size_t)f->grade_count + 1),
        .treat = ARENA_ARRAY(a, double, days),
        .soak = ARENA_ARRAY(a, double, days),
        .bed = ARENA_ARRAY(a, double, days),
        .pack = ARENA_ARRAY(a, double, days),
        .work = ARENA_ARRAY(a, double, (size_t)f->p->work_count *days + 1),
        .until = ARENA_ARRAY(a, double, (size_t)f->p->ingredient_count *days + 1),
        .from = ARENA_ARRAY(a, double, (size_t)f->p->ingredient_count *days + 1),
        .with = with};
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

static void make_choices(struct search *s, struct arena *a)
{
    const struct plan_frame *f = s->f;
    int running = f->p->running_count;
    s->choices = ARENA_ARRAY(a, int, (size_t)running + 1);
    s->best_choices = ARENA_ARRAY(a, int, (size_t)running + 1);
    s->choosing = ARENA_ARRAY(a, int, (size_t)running + 1);
    s->choice_goods = ARENA_ARRAY(a, struct flow_chamber, (size_t)f->choice_count + 1);
    for (int i = 0; i < running; i++) {
        s->choices[i] = s->best_choices[i] = f->p->running[i].told;
        if (f->first_choice[i + 1] > f->first_choice[i]) s->choosing[s->choosing_count++] = i;
    }
    for (int c = 0; c < f->choice_count; c++) {
        int crop = f->p->running[f->choices[c].running].crop;
        s->choice_goods[c] = flow_of_choice(s->flows[crop], f, c);
    }
}

/* Of a kg of crop packed on a day: ingredients, and what the pack weighs beyond it. */
static double *mix_costs(const struct plan_frame *f, struct arena *a,
                         const struct search_prices *prices)
{
    int days = f->p->day_count;
    double *cost = ARENA_ARRAY(a, double, (size_t)(f->mix_count * days));
    for (int i = 0; i < f->p->ingredient_count; i++) {
        const double *until = &prices->until[i * days], *from = &prices->from[i * days];
        for (int d = 0; d < days; d++) {
            double each = 0;
            for (int k = 0; k < days; k++)
                each += (k >= d ? until[k] : 0) + (k <= d ? from[k] : 0);
            for (int m = 1; m < f->mix_count; m++)
                cost[m * days + d] += each * f->mixes[m].takes[i];
        }
    }
    return cost;
}

/* What a kg of a cell short costs its crop: of a dish each crop has its part. */
static double *short_costs(const struct plan_frame *f, struct arena *a,
                           const struct search_prices *prices)
{
    double *cost = ARENA_ARRAY(a, double, (size_t)f->cell_count + 1);
    for (int c = 0; c < f->cell_count; c++) {
        const struct plan_cell *x = &f->cells[c];
        cost[c] = x->own != PLAN_NONE ? prices->with[c] : x->shortage_cost_per_kg;
        const struct plan_dish *dish =
            x->dish != PLAN_NONE && x->own == PLAN_NONE ? &f->dishes[x->dish] : NULL;
        for (int k = 0; dish && k < dish->count; k++)
            cost[c] -= prices->with[dish->first + k] * f->cells[dish->first + k].each;
    }
    return cost;
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
    search_room_make(s, a);
    s->chambers = ARENA_ARRAY(a, struct flow_chamber, options);
    s->counts = ARENA_ARRAY(a, int, options);
    s->best_counts = ARENA_ARRAY(a, int, options);
    s->started = ARENA_ARRAY(a, int, options);
    s->started_at = ARENA_ARRAY(a, int, options);
    s->flows = ARENA_ARRAY(a, struct flow *, (size_t)f->p->crop_count + 1);
    struct flow_terms terms = {seed_cost,    seed_yield,
                               goods_cost,   mix_costs(f, a, prices),
                               prices->pack, short_costs(f, a, prices)};
    for (int k = 0; k < f->p->crop_count; k++) {
        if (f->tied_to[k] != k) {
            s->flows[k] = s->flows[f->tied_to[k]];
            continue;
        }
        s->flows[k] = flow_new(a, f, k, &terms, s->chambers);
        flow_price(s->flows[k]);
        s->cost += s->flows[k]->cost;
    }
    make_choices(s, a);
    for (int w = 0; w < f->wish_count; w++)
        s->cost += f->p->change_cost * f->wishes[w].count;
    s->best_cost = s->cost;
    return s;
}

void search_release(struct search *s)
{
    for (int k = 0; k < s->f->p->crop_count; k++)
        if (search_flow_from(s, k)) flow_release(s->flows[k]);
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

/* moves */

/* What the move changes beside goods: starts, least fillings, starts taken that are not kept. */
static double own_step(const struct search *s, struct search_move m)
{
    const struct search_option *from = m.from != PLAN_NONE ? &s->options[m.from] : NULL;
    const struct search_option *to = m.to != PLAN_NONE ? &s->options[m.to] : NULL;
    double cost = (to ? to->own_cost : 0) - (from ? from->own_cost : 0);
    if (m.enters != PLAN_NONE)
        cost += s->f->p->change_cost *
                (plan_choice_is_told(s->f, m.leaves) - plan_choice_is_told(s->f, m.enters));
    if (from && to && from->wish == to->wish) return cost;
    if (from) cost += wish_step(s, m.from, -1);
    if (to) cost += wish_step(s, m.to, 1);
    return cost;
}

/* What the move costs at least. */
static double move_bound(const struct search *s, struct search_move m)
{
    if (m.enters != PLAN_NONE) return -INFINITY;
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

static void book_sides(struct search *s, struct search_move m, int sign)
{
    if (m.from != PLAN_NONE) search_book(s, m.from, -sign);
    if (m.enters != PLAN_NONE) {
        search_book_choice(s, sign > 0 ? m.leaves : m.enters, -1);
        search_book_choice(s, sign > 0 ? m.enters : m.leaves, 1);
    }
    if (m.to != PLAN_NONE) search_book(s, m.to, sign);
}

static bool book_moves(struct search *s, const struct search_move *moves, int n)
{
    bool holds = true;
    for (int i = 0; i < n; i++)
        book_sides(s, moves[i], 1);
    for (int i = 0; i < n; i++) {
        const struct search_move m = moves[i];
        holds = holds && (m.to == PLAN_NONE || search_holds(s, m.to)) &&
                (m.enters == PLAN_NONE || search_choice_holds(s, m.leaves, m.enters));
    }
    for (int i = n - 1; i >= 0 && !holds; i--)
        book_sides(s, moves[i], -1);
    return holds;
}

static bool is_among(struct flow *const *flows, const struct flow *w)
{
    return flows && (flows[0] == w || flows[1] == w || flows[2] == w);
}

/* flows: those it changes, to be settled; what an earlier move of the same step has changed (NULL:
 * there is none) is settled with that. -> cost of the goods; INFINITY: more than most */
static double flow_move(struct search *s, struct search_move m, double most,
                        struct flow *const *earlier, struct flow *flows[3])
{
    struct flow *from = flows[0] = m.from != PLAN_NONE ? s->flows[s->options[m.from].flow] : NULL;
    struct flow *to = flows[1] = m.to != PLAN_NONE ? s->flows[s->options[m.to].flow] : NULL;
    int lot = m.enters != PLAN_NONE ? s->f->choices[m.enters].running : PLAN_NONE;
    flows[2] = lot != PLAN_NONE ? s->flows[s->f->p->running[lot].crop] : NULL;
    if (flows[0] == flows[1] || flows[0] == flows[2]) flows[0] = NULL;
    if (flows[1] == flows[2]) flows[1] = NULL;
    double before = 0, after = 0;
    for (int i = 0; i < 3; i++)
        if (flows[i]) {
            if (!is_among(earlier, flows[i])) flow_keep(flows[i]);
            before += flows[i]->cost;
        }
    if (m.enters != PLAN_NONE) {
        flow_remove(flows[2], &s->choice_goods[m.leaves]);
        flow_add(flows[2], &s->choice_goods[m.enters]);
        most = INFINITY;
    }
    if (!flow_exchange(from, from ? &s->chambers[m.from] : NULL, to, to ? &s->chambers[m.to] : NULL,
                       most))
        return INFINITY;
    for (int i = 0; i < 3; i++)
        if (flows[i]) {
            after += flows[i]->cost;
            if (is_among(earlier, flows[i])) flows[i] = NULL;
        }
    return after - before;
}

static void count_move(struct search *s, struct search_move m, int sign)
{
    if (m.from != PLAN_NONE) count(s, m.from, -sign);
    if (m.to != PLAN_NONE) count(s, m.to, sign);
    if (m.enters == PLAN_NONE) return;
    const struct plan_choice *now = &s->f->choices[sign > 0 ? m.enters : m.leaves];
    s->choices[now->running] = now->choice;
}

static void flow_settle(struct flow *flows[3], bool taken)
{
    for (int i = 0; i < 3; i++) {
        if (!flows[i]) continue;
        if (taken)
            flow_price(flows[i]);
        else
            flow_undo(flows[i]);
    }
}

/* Makes the move if it costs no more than most. */
static bool try_move(struct search *s, struct search_move m, double most)
{
    s->moves++;
    if (move_bound(s, m) > most || !book_moves(s, &m, 1)) return false;
    s->tried++;
    struct flow *flows[3];
    double own = own_step(s, m), cost = own + flow_move(s, m, most - own, NULL, flows);
    bool taken = cost <= most;
    flow_settle(flows, taken);
    if (!taken) {
        book_sides(s, m, -1);
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
    memcpy(s->best_choices, s->choices, (size_t)s->f->p->running_count * sizeof *s->choices);
}

/* Those that free chambers first. */
static void choose_all(struct search *s, const int *choices)
{
    for (int later = 0; later < 2; later++)
        for (int i = 0; i < s->choosing_count; i++) {
            int running = s->choosing[i], first = s->f->first_choice[running];
            struct search_move m = SEARCH_NO_MOVE;
            m.leaves = first + s->choices[running];
            m.enters = first + choices[running];
            bool is_later = s->f->choices[m.enters].day > s->f->choices[m.leaves].day;
            if (m.enters != m.leaves && is_later == later) try_move(s, m, INFINITY);
        }
}

void search_start_from(struct search *s, const int *counts, const int *choices)
{
    struct search_move m = SEARCH_NO_MOVE;
    for (m.from = 0; m.from < s->f->option_count; m.from++)
        while (s->counts[m.from] > counts[m.from] && try_move(s, m, INFINITY))
            continue;
    choose_all(s, choices);
    m = SEARCH_NO_MOVE;
    for (m.to = 0; m.to < s->f->option_count; m.to++)
        while (s->counts[m.to] < counts[m.to] && try_move(s, m, INFINITY))
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
    if (s->f->option_count + s->choosing_count == 0) return;
    double unit = chamber_cost(s), heat = 0;
    for (int64_t i = 0; i < moves; i++) {
        if (i % LOOK_EVERY == 0) {
            if (watch && watch->is_over(watch->self)) return;
            heat = unit * hot * pow(cold / hot, (double)i / (double)moves);
        }
        double most = -heat * log(1 - random_unit(&s->random));
        if (try_move(s, search_pick_move(s), most)) note_best(s);
    }
}

/* moves whose worth somebody else tells */

/* moves: at most two. */
static bool try_judged(struct search *s, const struct search_move *moves, int n, double heat,
                       const struct search_judge *judge, double *cost)
{
    struct flow *flows[2][3];
    double step = 0;
    s->moves++;
    if (!book_moves(s, moves, n)) return false;
    s->tried++;
    for (int i = 0; i < n; i++) {
        step += own_step(s, moves[i]) +
                flow_move(s, moves[i], INFINITY, i > 0 ? flows[0] : NULL, flows[i]);
        count_move(s, moves[i], 1);
    }
    double after = judge->cost(judge->self, s);
    bool taken = after - *cost <= -heat * log(1 - random_unit(&s->random));
    for (int i = n - 1; i >= 0; i--) {
        flow_settle(flows[i], taken);
        if (taken) continue;
        count_move(s, moves[i], -1);
        book_sides(s, moves[i], -1);
    }
    if (!taken) return false;
    s->cost += step;
    *cost = after;
    return true;
}

void search_anneal_judged(struct search *s, double hot, double cold, int64_t moves,
                          const struct search_judge *judge, const struct search_watch *watch)
{
    if (s->f->option_count + s->choosing_count == 0) return;
    double unit = chamber_cost(s), cost = judge->cost(judge->self, s);
    for (int64_t i = 0; i < moves; i++) {
        if (i % JUDGED_LOOK_EVERY == 0 && watch && watch->is_over(watch->self)) return;
        double heat = unit * hot * pow(cold / hot, (double)i / (double)moves);
        struct search_move pair[2];
        int n = 1;
        if (s->f->dish_count > 0 && random_below(&s->random, PAIR_EVERY) == 0)
            n = search_pick_pair(s, pair);
        else
            pair[0] = search_pick_move(s);
        try_judged(s, pair, n, heat, judge, &cost);
    }
}
