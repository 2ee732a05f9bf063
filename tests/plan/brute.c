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

/* Points: 0 source, 1 end, 2 + d grown on day d, 2 + days + d packed on day d, then lines. */
static void draw(struct brute *b, double *forced_kg)
{
    const struct plan_problem *p = b->p;
    const struct plan_crop *crop = &p->crops[0];
    struct net *n = &b->net;
    double yield = crop_yield(p), seed_cost = p->seed_lots[0].cost_per_kg / yield;
    int days = p->day_count;
    n->arc_count = 0;
    n->point_count = 2 + 2 * days + p->line_count;
    *forced_kg = 0;
    for (int i = 0; i < b->start_count; i++) {
        int harvest = b->starts[i].day + crop->ways[b->starts[i].way].grow_days;
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
        for (int i = 0; i < p->line_count; i++) {
            const struct plan_line *line = &p->lines[i];
            const struct plan_group *group = &p->groups[line->group];
            int day = d > line->day ? d : line->day; /* of dispatch */
            while (p->is_shut != NULL && day < days && p->is_shut[day])
                day++;
            if (day >= days) continue;
            int left = d + p->products[line->product].life_days - day;
            if (day <= line->day + group->late_days && left >= group->remaining_days)
                arc(n, 2 + days + d, 2 + 2 * days + i, 1e9,
                    crop->hold_cost_per_kg_day * (day - d) +
                        group->late_cost_per_kg_day * (day - line->day));
        }
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
            int harvest = s->day + p->crops[0].ways[s->way].grow_days;
            starts += s->day == d ? s->count : 0;
            harvests += harvest == d ? s->count : 0;
            busy += s->day <= d && d < harvest + p->cleaning_days ? s->count : 0;
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
        for (int i = 0; i < b->start_count; i++)
            cost += b->starts[i].count * p->crops[0].start_cost;
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
    CHECK(p->crop_count == 1 && p->class_count == 1 && p->market_count == 1 && p->stock_count == 0);
    CHECK(p->seed_lot_count == 1 && p->taken_count == 0 && p->markets[0].laboratory_h == 0);
    struct brute b = {.p = p, .a = a, .best = INFINITY};
    int days = p->day_count;
    b.starts = ARENA_ARRAY(a, struct start, (size_t)(days * p->crops[0].way_count));
    for (int d = 0; d < days; d++)
        for (int w = 0; w < p->crops[0].way_count; w++)
            if (d + p->crops[0].ways[w].grow_days < days)
                b.starts[b.start_count++] = (struct start){d, w, 0};
    int points = 2 + 2 * days + p->line_count;
    b.net.arcs = ARENA_ARRAY(a, struct arc, (size_t)(2 * (points * points + 8 * days + 64)));
    b.net.distance = ARENA_ARRAY(a, double, (size_t)points);
    b.net.by = ARENA_ARRAY(a, int, (size_t)points);
    try_all(&b, 0);
    *out_tried = b.tried;
    return b.best;
}
