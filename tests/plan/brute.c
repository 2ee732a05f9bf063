#include "brute.h"

#include <math.h>

#include "base/check.h"

/* Above any true cost: makes the flow take what a started chamber must hold before anything else.
 */
static const double FORCED = 1e7;

struct arc {
    int from, to;
    double room, cost;
};

struct net {
    struct arc *arcs; /* arc i and its reverse i ^ 1 */
    int arc_count, point_count;
    double *distance;
    int *by; /* arc that reaches the point */
};

static void arc(struct net *n, int from, int to, double room, double cost)
{
    if (room <= 0) return;
    n->arcs[n->arc_count++] = (struct arc){from, to, room, cost};
    n->arcs[n->arc_count++] = (struct arc){to, from, 0, -cost};
}

/* Sends flow from 0 to 1 while that lowers the cost (Bellman-Ford paths). -> cost */
static double cheapest(struct net *n)
{
    double cost = 0;
    for (;;) {
        for (int i = 0; i < n->point_count; i++)
            n->distance[i] = INFINITY;
        n->distance[0] = 0;
        for (int round = 0; round < n->point_count; round++) {
            bool changed = false;
            for (int i = 0; i < n->arc_count; i++) {
                const struct arc *x = &n->arcs[i];
                if (x->room <= 1e-9 || n->distance[x->from] + x->cost >= n->distance[x->to] - 1e-9)
                    continue;
                n->distance[x->to] = n->distance[x->from] + x->cost;
                n->by[x->to] = i;
                changed = true;
            }
            if (!changed) break;
        }
        if (!(n->distance[1] < -1e-9)) return cost;
        double room = INFINITY;
        for (int at = 1; at != 0; at = n->arcs[n->by[at]].from)
            room = fmin(room, n->arcs[n->by[at]].room);
        for (int at = 1; at != 0; at = n->arcs[n->by[at]].from) {
            n->arcs[n->by[at]].room -= room;
            n->arcs[n->by[at] ^ 1].room += room;
        }
        cost += room * n->distance[1];
    }
}

struct brute {
    const struct plan_problem *p;
    struct arena *a;
    struct start {
        int day, way, count;
    } * starts;
    int start_count, tried;
    double best;
    struct net net;
};

static double crop_yield(const struct plan_problem *p)
{
    return p->crops[0].ways[0].packed_kg_per_seed_kg * p->seed_lots[0].yield_factor;
}

static int last_after(const struct plan_way *w)
{
    return w->part_count > 0 ? w->parts[w->part_count - 1].after_days : 0;
}

static bool harvested_on(const struct plan_way *w, int days)
{
    bool is_one = w->part_count == 0 && days == w->grow_days;
    for (int i = 0; i < w->part_count; i++)
        is_one = is_one || days == w->grow_days + w->parts[i].after_days;
    return is_one;
}

/* May goods harvested on the day, packed as a product or PLAN_NONE not yet, serve the line? The
 * cost of a kg is what they are kept, late and given instead for. */
static bool serves(const struct plan_problem *p, int harvest_day, int product,
                   const struct plan_line *line, double *cost)
{
    const struct plan_group *group = &p->groups[line->group];
    int day = harvest_day > line->day ? harvest_day : line->day; /* of dispatch */
    if (day > line->day + group->late_days) return false;
    *cost = p->crops[0].hold_cost_per_kg_day * (day - harvest_day) +
            group->late_cost_per_kg_day * (day - line->day);
    if ((product == PLAN_NONE || product == line->product) &&
        harvest_day + p->products[line->product].life_days - day >= group->remaining_days)
        return true;
    for (int s = 0; s < p->swap_count; s++) {
        const struct plan_swap *x = &p->swaps[s];
        bool takes = x->from_product == line->product && (!x->groups || x->groups[line->group]);
        bool is_it = product == PLAN_NONE || product == x->to_product;
        if (!takes || !is_it ||
            harvest_day + p->products[x->to_product].life_days - day < group->remaining_days)
            continue;
        *cost += x->cost_per_kg;
        return true;
    }
    return false;
}

/* Points: 0 source, 1 end, 2 + d grown on day d, 2 + days + d packed on day d, then lines, then
 * stock. */
static void draw(struct brute *b, double *forced_kg)
{
    const struct plan_problem *p = b->p;
    const struct plan_crop *crop = &p->crops[0];
    struct net *n = &b->net;
    double yield = crop_yield(p), seed_cost = p->seed_lots[0].cost_per_kg / yield, cost = 0;
    int days = p->day_count;
    n->arc_count = 0;
    n->point_count = 2 + 2 * days + p->line_count + p->stock_count;
    *forced_kg = 0;
    for (int i = 0; i < b->start_count; i++) {
        const struct plan_way *way = &crop->ways[b->starts[i].way];
        int harvest = b->starts[i].day + way->grow_days;
        for (int k = 0; k < way->part_count; k++) { /* full, whatever is wanted of it */
            double kg = crop->fills[0].seed_max_kg * b->starts[i].count * yield *
                        way->parts[k].share * way->parts[k].yield_factor;
            if (harvest + way->parts[k].after_days >= days) continue;
            arc(n, 0, 2 + harvest + way->parts[k].after_days, kg, -FORCED);
            *forced_kg += kg;
        }
        if (way->part_count > 0) continue;
        double least = crop->fills[0].seed_min_kg * b->starts[i].count * yield;
        double most = crop->fills[0].seed_max_kg * b->starts[i].count * yield;
        arc(n, 0, 2 + harvest, least, seed_cost - FORCED);
        arc(n, 0, 2 + harvest, most - least, seed_cost);
        *forced_kg += least;
    }
    for (int i = 0; i < p->running_count; i++) {
        if (p->running[i].harvest_day >= days) continue;
        arc(n, 0, 2 + p->running[i].harvest_day, p->running[i].packed_kg, -FORCED);
        *forced_kg += p->running[i].packed_kg;
    }
    for (int d = 0; d < days; d++) {
        arc(n, 2 + d, 1, 1e9, crop->waste_cost_per_kg);
        arc(n, 2 + d, 2 + days + d, fmin(1e9, p->days[d].pack_kg), 0);
        for (int i = 0; i < p->line_count; i++)
            if (serves(p, d, PLAN_NONE, &p->lines[i], &cost))
                arc(n, 2 + days + d, 2 + 2 * days + i, 1e9, cost);
    }
    for (int s = 0; s < p->stock_count; s++) {
        int at = 2 + 2 * days + p->line_count + s;
        arc(n, 0, at, p->stock[s].kg, -FORCED);
        arc(n, at, 1, 1e9, crop->waste_cost_per_kg);
        *forced_kg += p->stock[s].kg;
        for (int i = 0; i < p->line_count; i++)
            if (serves(p, p->stock[s].harvest_day, p->stock[s].product, &p->lines[i], &cost))
                arc(n, at, 2 + 2 * days + i, 1e9, cost);
    }
    for (int i = 0; i < p->line_count; i++)
        arc(n, 2 + 2 * days + i, 1,
            (double)p->lines[i].pieces * p->products[p->lines[i].product].net_kg,
            -p->lines[i].shortage_cost_per_kg);
}

static bool holds(const struct brute *b)
{
    const struct plan_problem *p = b->p;
    int free_from[64];
    CHECK(p->chamber_count <= 64);
    for (int c = 0; c < p->chamber_count; c++)
        free_from[c] = 0;
    for (int i = 0; i < p->running_count; i++)
        free_from[p->running[i].chamber] = p->running[i].harvest_day + p->cleaning_days;
    for (int d = 0; d < p->day_count; d++) {
        int starts = 0, harvests = 0, given = 0, busy = 0, usable = 0;
        for (int c = 0; c < p->chamber_count; c++)
            usable += free_from[c] <= d;
        for (int i = 0; i < p->running_count; i++)
            given += p->running[i].harvest_day == d;
        for (int i = 0; i < b->start_count; i++) {
            const struct start *s = &b->starts[i];
            const struct plan_way *way = &p->crops[0].ways[s->way];
            int last = s->day + way->grow_days + last_after(way);
            starts += s->day == d ? s->count : 0;
            harvests += harvested_on(way, d - s->day) ? s->count : 0;
            busy += s->day <= d && d < last + p->cleaning_days ? s->count : 0;
        }
        if (busy > usable || starts > p->days[d].starts_max) return false;
        if (harvests > 0 && harvests + given > p->days[d].harvests_max) return false;
    }
    return true;
}

static void try_all(struct brute *b, int from)
{
    if (!holds(b)) return;
    if (from == b->start_count) {
        double cost = 0, forced_kg = 0;
        const struct plan_problem *p = b->p;
        for (int i = 0; i < b->start_count; i++) {
            bool full = p->crops[0].ways[b->starts[i].way].part_count > 0;
            double seed_kg = full ? p->crops[0].fills[0].seed_max_kg : 0;
            cost += b->starts[i].count *
                    (p->crops[0].start_cost + seed_kg * p->seed_lots[0].cost_per_kg);
        }
        for (int i = 0; i < p->line_count; i++)
            cost += (double)p->lines[i].pieces * p->products[p->lines[i].product].net_kg *
                    p->lines[i].shortage_cost_per_kg;
        draw(b, &forced_kg);
        cost += cheapest(&b->net) + FORCED * forced_kg;
        b->best = fmin(b->best, cost);
        b->tried++;
        return;
    }
    for (int count = 0; count <= b->p->chamber_count; count++) {
        b->starts[from].count = count;
        try_all(b, from + 1);
    }
    b->starts[from].count = 0;
}

double brute_cost(struct arena *a, const struct plan_problem *p, int *out_tried)
{
    CHECK(p->crop_count == 1 && p->class_count == 1 && p->market_count == 1);
    for (int i = 1; i < p->product_count; i++)
        CHECK(p->products[i].net_kg == p->products[0].net_kg);
    CHECK(p->seed_lot_count == 1 && p->taken_count == 0 && p->markets[0].laboratory_h == 0);
    struct brute b = {.p = p, .a = a, .best = INFINITY};
    int days = p->day_count;
    b.starts = ARENA_ARRAY(a, struct start, (size_t)(days * p->crops[0].way_count));
    for (int d = 0; d < days; d++)
        for (int w = 0; w < p->crops[0].way_count; w++)
            if (d + p->crops[0].ways[w].grow_days < days)
                b.starts[b.start_count++] = (struct start){d, w, 0};
    int points = 2 + 2 * days + p->line_count + p->stock_count;
    b.net.arcs = ARENA_ARRAY(a, struct arc, (size_t)(2 * (points * points + 8 * days + 64)));
    b.net.distance = ARENA_ARRAY(a, double, (size_t)points);
    b.net.by = ARENA_ARRAY(a, int, (size_t)points);
    try_all(&b, 0);
    *out_tried = b.tried;
    return b.best;
}
