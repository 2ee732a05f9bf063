#include "brute.h"

#include <math.h>

#include "base/check.h"

/* Above any true cost: makes the flow take what a started chamber must hold before anything else.
 */
static const double FORCED = 1e5;
/* What forcing costs in digits: sums of 1e8 in doubles. */
static const double ROUNDING = 1e-5;

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

/* Days that goods wait for their result after harvest: 0 ... WAITS - 1. */
enum { WAITS = 3 };

struct brute {
    const struct plan_problem *p;
    int waits; /* 1 without a laboratory, else WAITS */
    struct arena *a;
    struct start {
        int day, way, count;
    } * starts;
    int start_count, tried;
    double best;
    int *choices;  /* by running lot */
    int *pack_arc; /* by day; PLAN_NONE */
    struct net net;
};

static double piece_kg(const struct plan_product *x)
{
    return x->crop_kg > 0 ? x->crop_kg : x->net_kg;
}

/* Of the one ingredient, of a kg of crop. */
static double takes(const struct plan_problem *p)
{
    return p->ingredient_count == 0 ? 0
                                    : p->ingredients[0].kg_per_piece[0] / piece_kg(&p->products[0]);
}

static bool may_pack(const struct plan_problem *p, int day)
{
    return takes(p) <= 0 ||
           (p->ingredients[0].lot_count == 1 && day >= p->ingredients[0].lots[0].from_day &&
            day <= p->ingredients[0].lots[0].last_day);
}

static double way_yield(const struct plan_problem *p, int way)
{
    return p->crops[0].ways[way].packed_kg_per_seed_kg * p->seed_lots[0].yield_factor;
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

/* The first day whose hour of dispatch is not before the result of what was soaked on a day, in
 * hours one by one. */
static int result_day(const struct plan_problem *p, int soaked)
{
    const struct plan_market *m = &p->markets[0];
    double wait = m->sample_age_h + m->transit_h + m->laboratory_h;
    double known = soaked * 24 + p->soak_hour + wait + (p->retest_planned ? m->retest_h : 0);
    int day = soaked;
    while (wait > 0 && day * 24 + p->dispatch_hour < known)
        day++;
    return day;
}

/* Days from harvest until goods may leave. */
static int wait_of(const struct brute *b, int harvest_day, int ready_day)
{
    int wait = ready_day > harvest_day ? ready_day - harvest_day : 0;
    CHECK(wait < b->waits);
    return wait;
}

/* May goods harvested on the day, that may leave from another on, packed as a product or PLAN_NONE
 * not yet, serve the line? The cost of a kg is what they are kept, late and given instead for. */
static bool serves(const struct plan_problem *p, int harvest_day, int ready_day, int product,
                   const struct plan_line *line, double *cost)
{
    const struct plan_group *group = &p->groups[line->group];
    int day = harvest_day > line->day ? harvest_day : line->day; /* of dispatch */
    day = ready_day > day ? ready_day : day;
    while (p->is_shut != NULL && day < p->day_count && p->is_shut[day])
        day++;
    if (day > line->day + group->late_days || day >= p->day_count) return false;
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

static int run_day(const struct brute *b, int running)
{
    const struct plan_running *r = &b->p->running[running];
    return b->choices[running] == 0 ? r->harvest_day : r->others[b->choices[running] - 1].day;
}

static double run_kg(const struct brute *b, int running)
{
    const struct plan_running *r = &b->p->running[running];
    double share = b->choices[running] == 0 ? 1 : r->others[b->choices[running] - 1].yield_factor;
    return r->packed_kg * share;
}

static int grown_at(const struct brute *b, int day, int ready_day)
{
    return 2 + day * b->waits + wait_of(b, day, ready_day);
}

static void draw_starts(struct brute *b, double *forced_kg)
{
    const struct plan_problem *p = b->p;
    const struct plan_crop *crop = &p->crops[0];
    struct net *n = &b->net;
    int days = p->day_count;
    for (int i = 0; i < b->start_count; i++) {
        const struct plan_way *way = &crop->ways[b->starts[i].way];
        double yield = way_yield(p, b->starts[i].way);
        double seed_cost = p->seed_lots[0].cost_per_kg / yield;
        int harvest = b->starts[i].day + way->grow_days, ready = result_day(p, b->starts[i].day);
        for (int k = 0; k < way->part_count; k++) { /* full, whatever is wanted of it */
            double kg = crop->fills[0].seed_max_kg * b->starts[i].count * yield *
                        way->parts[k].share * way->parts[k].yield_factor;
            if (harvest + way->parts[k].after_days >= days) continue;
            arc(n, 0, grown_at(b, harvest + way->parts[k].after_days, ready), kg, -FORCED);
            *forced_kg += kg;
        }
        if (way->part_count > 0) continue;
        double least = crop->fills[0].seed_min_kg * b->starts[i].count * yield;
        double most = crop->fills[0].seed_max_kg * b->starts[i].count * yield;
        arc(n, 0, grown_at(b, harvest, ready), least, seed_cost - FORCED);
        arc(n, 0, grown_at(b, harvest, ready), most - least, seed_cost);
        *forced_kg += least;
    }
}

/* Points: 0 source, 1 end, 2 + d * waits + w grown on day d and waiting w days for its result,
 * 2 + (days + d) * waits + w packed on day d, then lines, then stock. price: of a kg of the
 * ingredient. */
static void draw(struct brute *b, double price, double *forced_kg)
{
    const struct plan_problem *p = b->p;
    const struct plan_crop *crop = &p->crops[0];
    struct net *n = &b->net;
    double cost = 0;
    int days = p->day_count, lines_from = 2 + 2 * days * b->waits;
    n->arc_count = 0;
    n->point_count = lines_from + p->line_count + p->stock_count;
    *forced_kg = 0;
    draw_starts(b, forced_kg);
    for (int i = 0; i < p->running_count; i++) {
        if (run_day(b, i) >= days) continue;
        arc(n, 0, grown_at(b, run_day(b, i), p->running[i].ready_day[0]), run_kg(b, i), -FORCED);
        *forced_kg += run_kg(b, i);
    }
    for (int x = 0; x < days * b->waits; x++) {
        int d = x / b->waits, packed = 2 + days * b->waits + x;
        arc(n, 2 + x, 1, 1e9, crop->waste_cost_per_kg);
        double pack_kg = p->days[d].pack_kg * piece_kg(&p->products[0]) / p->products[0].net_kg;
        b->pack_arc[x] = n->arc_count;
        arc(n, 2 + x, packed, may_pack(p, d) ? fmin(1e9, pack_kg) : 0, price * takes(p));
        if (n->arc_count == b->pack_arc[x]) b->pack_arc[x] = PLAN_NONE;
        for (int i = 0; i < p->line_count; i++)
            if (serves(p, d, d + x % b->waits, PLAN_NONE, &p->lines[i], &cost))
                arc(n, packed, lines_from + i, 1e9, cost);
    }
    for (int s = 0; s < p->stock_count; s++) {
        const struct plan_stock *stock = &p->stock[s];
        int at = lines_from + p->line_count + s;
        arc(n, 0, at, stock->kg, -FORCED);
        arc(n, at, 1, 1e9, crop->waste_cost_per_kg);
        *forced_kg += stock->kg;
        for (int i = 0; i < p->line_count; i++)
            if (serves(p, stock->harvest_day, stock->ready_day[0], stock->product, &p->lines[i],
                       &cost))
                arc(n, at, lines_from + i, 1e9, cost);
    }
    for (int i = 0; i < p->line_count; i++)
        arc(n, lines_from + i, 1,
            (double)p->lines[i].pieces * piece_kg(&p->products[p->lines[i].product]),
            -p->lines[i].shortage_cost_per_kg);
}

/* At a price of the ingredient: what goods cost without it, and how much of it they use. */
static double cost_at(struct brute *b, double price, double *used_kg)
{
    double forced_kg = 0;
    draw(b, price, &forced_kg);
    double cost = cheapest(&b->net) + FORCED * forced_kg;
    *used_kg = 0;
    for (int x = 0; x < b->p->day_count * b->waits; x++)
        if (b->pack_arc[x] != PLAN_NONE)
            *used_kg += b->net.arcs[b->pack_arc[x] ^ 1].room * takes(b->p);
    return cost - price * *used_kg;
}

/* The starts' goods are a linear program: where the one lot of the ingredient does not suffice, its
 * best is the highest of the bounds that prices give (duality), met where the last two of them
 * cross. */
static double cheapest_goods(struct brute *b)
{
    double low_kg = 0, high_kg = 0, low = cost_at(b, 0, &low_kg);
    if (takes(b->p) <= 0 || b->p->ingredients[0].lot_count == 0) return low;
    double here_kg = b->p->ingredients[0].lots[0].kg;
    if (low_kg <= here_kg + 1e-9) return low;
    double high = cost_at(b, 1e2 / takes(b->p), &high_kg);
    for (;;) {
        CHECK(high_kg <= here_kg + 1e-9);
        double price = (high - low) / (low_kg - high_kg), kg = 0;
        double cross = low + price * (low_kg - here_kg), cost = cost_at(b, price, &kg);
        if (cost + price * (kg - here_kg) >= cross - ROUNDING) return cross;
        *(kg > here_kg ? &low : &high) = cost;
        *(kg > here_kg ? &low_kg : &high_kg) = kg;
    }
}

static bool holds(const struct brute *b)
{
    const struct plan_problem *p = b->p;
    int free_from[64];
    CHECK(p->chamber_count <= 64);
    for (int c = 0; c < p->chamber_count; c++)
        free_from[c] = 0;
    for (int i = 0; i < p->running_count; i++)
        free_from[p->running[i].chamber] = run_day(b, i) + p->cleaning_days;
    for (int d = 0; d < p->day_count; d++) {
        int starts = 0, harvests = 0, told = 0, busy = 0, usable = 0;
        for (int c = 0; c < p->chamber_count; c++)
            usable += free_from[c] <= d;
        for (int i = 0; i < p->running_count; i++)
            harvests += run_day(b, i) == d;
        for (int i = 0; i < p->running_count; i++)
            told += plan_running_day(&p->running[i], p->running[i].told) == d;
        for (int i = 0; i < b->start_count; i++) {
            const struct start *s = &b->starts[i];
            const struct plan_way *way = &p->crops[0].ways[s->way];
            int last = s->day + way->grow_days + last_after(way);
            starts += s->day == d ? s->count : 0;
            harvests += harvested_on(way, d - s->day) ? s->count : 0;
            busy += s->day <= d && d < last + p->cleaning_days ? s->count : 0;
        }
        if (busy > usable || starts > p->days[d].starts_max) return false;
        if (harvests > p->days[d].harvests_max && harvests > told) return false;
    }
    return true;
}

static void try_all(struct brute *b, int from)
{
    if (!holds(b)) return;
    if (from == b->start_count) {
        double cost = 0;
        const struct plan_problem *p = b->p;
        for (int i = 0; i < b->start_count; i++) {
            bool full = p->crops[0].ways[b->starts[i].way].part_count > 0;
            double seed_kg = full ? p->crops[0].fills[0].seed_max_kg : 0;
            cost += b->starts[i].count *
                    (p->crops[0].start_cost + seed_kg * p->seed_lots[0].cost_per_kg);
        }
        for (int i = 0; i < p->line_count; i++)
            cost += (double)p->lines[i].pieces * piece_kg(&p->products[p->lines[i].product]) *
                    p->lines[i].shortage_cost_per_kg;
        for (int i = 0; i < p->running_count; i++)
            cost += b->choices[i] != p->running[i].told ? p->change_cost : 0;
        cost += cheapest_goods(b);
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

/* Each running lot on each of its days. */
static void choose_all(struct brute *b, int running)
{
    if (running == b->p->running_count) {
        try_all(b, 0);
        return;
    }
    for (int c = 0; c <= b->p->running[running].other_count; c++) {
        b->choices[running] = c;
        choose_all(b, running + 1);
    }
}

double brute_cost(struct arena *a, const struct plan_problem *p, int *out_tried)
{
    CHECK(p->crop_count == 1 && p->class_count == 1 && p->market_count == 1);
    for (int i = 1; i < p->product_count; i++)
        CHECK(p->products[i].net_kg == p->products[0].net_kg);
    CHECK(p->ingredient_count == 0 ||
          (p->product_count == 1 && p->ingredient_count == 1 && p->stock_count == 0));
    CHECK(p->seed_lot_count == 1 && p->taken_count == 0);
    bool waits = p->markets[0].laboratory_h > 0;
    struct brute b = {.p = p, .a = a, .best = INFINITY, .waits = waits ? WAITS : 1};
    int days = p->day_count;
    for (int d = 0; waits && d < days; d++) /* goods that wait differently share no limit */
        CHECK(p->ingredient_count == 0 && isinf(p->days[d].pack_kg));
    b.starts = ARENA_ARRAY(a, struct start, (size_t)(days * p->crops[0].way_count));
    for (int d = 0; d < days; d++)
        for (int w = 0; w < p->crops[0].way_count; w++)
            if (d + p->crops[0].ways[w].grow_days < days)
                b.starts[b.start_count++] = (struct start){d, w, 0};
    int points = 2 + 2 * days * b.waits + p->line_count + p->stock_count;
    b.net.arcs = ARENA_ARRAY(a, struct arc, (size_t)(2 * (points * points + 8 * days + 64)));
    b.net.distance = ARENA_ARRAY(a, double, (size_t)points);
    b.pack_arc = ARENA_ARRAY(a, int, (size_t)(days * b.waits));
    b.net.by = ARENA_ARRAY(a, int, (size_t)points);
    b.choices = ARENA_ARRAY(a, int, (size_t)p->running_count + 1);
    choose_all(&b, 0);
    *out_tried = b.tried;
    return b.best;
}
