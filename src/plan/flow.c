#include "plan/flow.h"

#include <math.h>
#include <stdlib.h>

#include "base/check.h"
#include "plan/flow_make.h"

/* Gains below this, in cost of one kg, are rounding. */
static const double NOTHING = 1e-9;
/* Of a path's cost, and of the cost of all goods. */
static const double ROUNDING = 1e-12, ROUNDING_ALL = 1e-7;
static const double KG = 1e-9; /* of one microgram; units of a crop are counted as kg are */

static struct flow_undo *undo_next(struct flow *f)
{
    if (f->undo_count == f->undo_room) {
        f->undo_room = f->undo_room > 0 ? 2 * f->undo_room : 256;
        f->undo = realloc(f->undo, (size_t)f->undo_room * sizeof *f->undo);
        CHECK(f->undo != NULL);
    }
    return &f->undo[f->undo_count++];
}

static void set(struct flow *f, int64_t *place, int64_t value)
{
    *undo_next(f) = (struct flow_undo){place, *place, NULL, 0};
    *place = value;
}

static void set_price(struct flow *f, double *price, double value)
{
    *undo_next(f) = (struct flow_undo){NULL, 0, price, *price};
    *price = value;
}

void flow_keep(struct flow *f)
{
    f->undo_count = 0;
    f->undo_cost = f->cost;
}

void flow_undo(struct flow *f)
{
    while (f->undo_count > 0) {
        const struct flow_undo *u = &f->undo[--f->undo_count];
        if (u->place)
            *u->place = u->old;
        else
            *u->price = u->old_price;
    }
    f->cost = f->undo_cost;
}

/* a node's own cost */

static int64_t capacity(const struct flow *f, int node)
{
    int64_t ug = f->sunk_ug[node];
    for (int l = f->first_layer[node]; l < f->first_layer[node + 1]; l++)
        ug += f->layer_ug[l];
    return ug;
}

static double node_cost(const struct flow *f, int node)
{
    int64_t left = f->used_ug[node] - f->sunk_ug[node];
    if (left <= 0) return -(double)left * KG * f->waste_cost[node];
    double cost = 0;
    for (int l = f->first_layer[node]; l < f->first_layer[node + 1] && left > 0; l++) {
        int64_t part = left < f->layer_ug[l] ? left : f->layer_ug[l];
        cost += (double)part * KG * f->layer_cost[l];
        left -= part;
    }
    return cost;
}

/* Cost of one kg more and how much there is at that cost; 0: none. */
static double next_cost(const struct flow *f, int node, int64_t *out_ug)
{
    int64_t left = f->used_ug[node] - f->sunk_ug[node];
    *out_ug = -left;
    if (left < 0) return -f->waste_cost[node];
    for (int l = f->first_layer[node]; l < f->first_layer[node + 1]; l++) {
        *out_ug = f->layer_ug[l] - left;
        if (*out_ug > 0) return f->layer_cost[l];
        left = -*out_ug;
    }
    *out_ug = 0;
    return INFINITY;
}

/* Cost that the last kg used has, and how much is used at that cost; 0: none. */
static double top_cost(const struct flow *f, int node, int64_t *out_ug)
{
    int64_t left = f->used_ug[node];
    *out_ug = left;
    if (left <= f->sunk_ug[node]) return -f->waste_cost[node];
    left -= f->sunk_ug[node];
    int l = f->first_layer[node];
    for (; l + 1 < f->first_layer[node + 1] && left > f->layer_ug[l]; l++)
        left -= f->layer_ug[l];
    *out_ug = left;
    return f->layer_cost[l];
}

/* shortest paths: Dijkstra's algorithm on what steps cost at the flow's prices (potentials, Edmonds
 * and Karp 1972: from memory), which is never less than nothing. push: goods go on over any arc and
 * come back where they flow, to a vertex's end; pull: the other way round, from the ends to a
 * vertex. */

struct path {
    int end;     /* node, or node_count + cell; PLAN_NONE: none is near enough */
    double cost; /* at the prices */
    int64_t ug;  /* that the end takes or gives */
};

static void heap_put(struct flow *f, double distance, int at)
{
    int i = f->heap_count++;
    for (; i > 0 && f->heap[(i - 1) / 2].distance > distance; i = (i - 1) / 2)
        f->heap[i] = f->heap[(i - 1) / 2];
    f->heap[i] = (struct flow_label){distance, at};
}

static struct flow_label heap_take(struct flow *f)
{
    struct flow_label first = f->heap[0], last = f->heap[--f->heap_count];
    int i = 0;
    for (int child = 1; child < f->heap_count; child = 2 * i + 1) {
        if (child + 1 < f->heap_count && f->heap[child + 1].distance < f->heap[child].distance)
            child++;
        if (f->heap[child].distance >= last.distance) break;
        f->heap[i] = f->heap[child];
        i = child;
    }
    f->heap[i] = last;
    return first;
}

/* step: at the prices; what rounding leaves of nothing is nothing. Most steps are, and who is as
 * near as the last needs no heap. */
static inline void reach(struct flow *f, int at, double distance, double step, int arc)
{
    bool is_near = step <= ROUNDING;
    if (!is_near) distance += step;
    double before = f->distance[at];
    if (distance >= before) return;
    if (before == INFINITY) f->touched[f->touched_count++] = at;
    f->distance[at] = distance;
    f->by_arc[at] = arc;
    if (is_near)
        f->near[f->near_count++] = at;
    else
        heap_put(f, distance, at);
}

static void better(struct path *best, int end, double cost, int64_t ug)
{
    if (ug > 0 && cost < best->cost) *best = (struct path){end, cost, ug};
}

static void from_node(struct flow *f, int node, bool pull, struct path *best)
{
    const double *cell_price = &f->price[f->node_count];
    double d = f->distance[node], price = f->price[node];
    int64_t ug = 0;
    if (best && f->by_arc[node] >= 0) {
        double end = pull ? next_cost(f, node, &ug) + price : -top_cost(f, node, &ug) - price;
        better(best, node, d + fmax(0, end), ug);
    }
    for (int i = f->first_arc[node]; i < f->first_arc[node + 1]; i++) {
        const struct flow_arc *x = &f->arcs[i];
        double step = x->cost - price + cell_price[x->cell];
        if (!pull)
            reach(f, f->node_count + x->cell, d, step, i);
        else if (f->arc_ug[i] > 0)
            reach(f, f->node_count + x->cell, d, -step, i);
    }
}

static void from_cell(struct flow *f, int cell, bool pull, struct path *best)
{
    int at = f->node_count + cell;
    double d = f->distance[at], price = f->price[at], end = f->short_cost[cell] + price;
    if (best)
        better(best, at, d + fmax(0, pull ? end : -end),
               pull ? f->met_ug[cell] : f->wanted_ug[cell] - f->met_ug[cell]);
    for (int k = f->first_into[cell]; k < f->first_into[cell + 1]; k++) {
        int i = f->into[k];
        const struct flow_arc *x = &f->arcs[i];
        double step = x->cost - f->price[x->node] + price;
        if (pull)
            reach(f, x->node, d, step, i);
        else if (f->arc_ug[i] > 0)
            reach(f, x->node, d, -step, i);
    }
}

/* The nearest vertex to go on from; PLAN_NONE: none is nearer than most. */
static int nearest(struct flow *f, double most)
{
    while (f->near_count > 0) {
        int at = f->near[--f->near_count];
        if (f->distance[at] < most) return at;
    }
    while (f->heap_count > 0 && f->heap[0].distance < most) {
        struct flow_label next = heap_take(f);
        if (next.distance <= f->distance[next.at]) return next.at; /* else reached nearer since */
    }
    return PLAN_NONE;
}

/* Least distances from what was reached so far, nearest first; best: up to the nearest end. */
static void spread(struct flow *f, bool pull, struct path *best)
{
    int at;
    while ((at = nearest(f, best ? best->cost : INFINITY)) != PLAN_NONE) {
        if (at < f->node_count)
            from_node(f, at, pull, best);
        else
            from_cell(f, at - f->node_count, pull, best);
    }
    f->heap_count = 0;
}

static void search_end(struct flow *f)
{
    while (f->touched_count > 0)
        f->distance[f->touched[--f->touched_count]] = INFINITY;
}

/* push: where more goods of the node would do most good: an unmet want, or costlier goods they set
 * free. pull: where the node's goods are missed least: other goods step in, or a want goes short.
 * Up to a cost of most at the prices; these then are such that the path costs nothing at them. */
static struct path path_from(struct flow *f, int node, bool pull, double most)
{
    struct path best = {PLAN_NONE, most, 0};
    reach(f, node, 0, 0, -1);
    spread(f, pull, &best);
    for (int i = 0; i < f->touched_count && isfinite(best.cost); i++) {
        int at = f->touched[i];
        double nearer = best.cost - f->distance[at];
        if (nearer > 0) set_price(f, &f->price[at], f->price[at] + (pull ? -nearer : nearer));
    }
    search_end(f);
    return best;
}

static int64_t least(int64_t x, int64_t y)
{
    return x < y ? x : y;
}

/* Sends up to most_ug along a path found from the node. -> ug sent; out_cost: of a unit */
static int64_t send(struct flow *f, int from, struct path path, int64_t most_ug, bool pull,
                    double *out_cost)
{
    int64_t ug = least(most_ug, path.ug), unused;
    bool ends_at_node = path.end < f->node_count;
    int cell = path.end - f->node_count;
    if (ends_at_node)
        *out_cost = pull ? next_cost(f, path.end, &unused) : -top_cost(f, path.end, &unused);
    else
        *out_cost = pull ? f->short_cost[cell] : -f->short_cost[cell];
    for (int at = path.end; at != from;) {
        int i = f->by_arc[at];
        bool is_back = (at >= f->node_count) == pull;
        if (is_back) ug = least(ug, f->arc_ug[i]);
        *out_cost += is_back ? -f->arcs[i].cost : f->arcs[i].cost;
        at = at >= f->node_count ? f->arcs[i].node : f->node_count + f->arcs[i].cell;
    }
    for (int at = path.end; at != from;) {
        int i = f->by_arc[at];
        bool is_back = (at >= f->node_count) == pull;
        set(f, &f->arc_ug[i], f->arc_ug[i] + (is_back ? -ug : ug));
        at = at >= f->node_count ? f->arcs[i].node : f->node_count + f->arcs[i].cell;
    }
    int64_t *end = ends_at_node ? &f->used_ug[path.end] : &f->met_ug[cell];
    set(f, end, *end + (ends_at_node == pull ? ug : -ug));
    set(f, &f->used_ug[from], f->used_ug[from] + (pull ? -ug : ug));
    return ug;
}

/* From below: what a chamber's goods bring, a unit of a node's being worth worth_sign times its
 * price. */
static double goods_bound(const struct flow *f, const struct flow_chamber *c, const double *prices,
                          int worth_sign)
{
    double worth = worth_sign * prices[c->node];
    double bound = (double)c->forced_ug * fmin(f->waste_cost[c->node], -worth) +
                   (double)c->optional_ug * fmin(0, f->layer_cost[c->layer] - worth);
    for (int i = 0; i < c->more_count; i++) {
        int node = c->more[i].node;
        bound +=
            (double)c->more[i].forced_ug * fmin(f->waste_cost[node], -worth_sign * prices[node]);
    }
    return bound * KG;
}

/* From below: what is still to come when goods of the node have changed and the flow not yet (at
 * its price it is a convex function of what the node gives), and then a chamber is added. */
static double rest_bound(const struct flow *f, int node, const struct flow_chamber *then)
{
    double price = f->price[node];
    double least_cost = (double)f->sunk_ug[node] * fmin(f->waste_cost[node], price);
    for (int l = f->first_layer[node]; l < f->first_layer[node + 1]; l++)
        least_cost += (double)f->layer_ug[l] * fmin(0, f->layer_cost[l] + price);
    double now = node_cost(f, node) + (double)f->used_ug[node] * KG * price;
    return least_cost * KG - now + (then ? goods_bound(f, then, f->price, -1) : 0);
}

/* -> false: given up, for it is certain to cost more than the limit */
static bool settle_added(struct flow *f, int node, double limit)
{
    for (;;) {
        if (f->cost + rest_bound(f, node, NULL) > limit) return false;
        int64_t ug = 0;
        double next = next_cost(f, node, &ug), most = -next - f->price[node] - NOTHING;
        if (ug <= 0 || !(most > 0)) return true;
        struct path path = path_from(f, node, false, most);
        if (path.end == PLAN_NONE) return true;
        double cost = 0;
        ug = send(f, node, path, ug, false, &cost);
        f->cost += (cost + next) * KG * (double)ug;
    }
}

static bool settle_removed(struct flow *f, int node, const struct flow_chamber *then, double limit)
{
    for (;;) {
        if (f->cost + rest_bound(f, node, then) > limit) return false;
        int64_t ug = 0, over = f->used_ug[node] - capacity(f, node);
        if (f->used_ug[node] == 0) return true;
        double top = over > 0 ? 0 : top_cost(f, node, &ug);
        double most = over > 0 ? INFINITY : top + f->price[node] - NOTHING;
        if (!(most > 0)) return true;
        struct path path = path_from(f, node, true, most);
        CHECK(over <= 0 || path.end != PLAN_NONE);
        if (path.end == PLAN_NONE) return true;
        double cost = 0;
        ug = send(f, node, path, over > 0 ? over : ug, true, &cost);
        f->cost += (cost - top) * KG * (double)ug;
    }
}

static void change(struct flow *f, const struct flow_chamber *c, int sign)
{
    f->cost -= node_cost(f, c->node);
    set(f, &f->sunk_ug[c->node], f->sunk_ug[c->node] + sign * c->forced_ug);
    set(f, &f->layer_ug[c->layer], f->layer_ug[c->layer] + sign * c->optional_ug);
    f->cost += node_cost(f, c->node);
}

static void change_more(struct flow *f, const struct flow_more *m, int sign)
{
    f->cost -= node_cost(f, m->node);
    set(f, &f->sunk_ug[m->node], f->sunk_ug[m->node] + sign * m->forced_ug);
    f->cost += node_cost(f, m->node);
}

static bool add_within(struct flow *f, const struct flow_chamber *c, double limit)
{
    if (c->more_count > 0) limit = INFINITY;
    change(f, c, 1);
    if (!settle_added(f, c->node, limit)) return false;
    for (int i = 0; i < c->more_count; i++) {
        change_more(f, &c->more[i], 1);
        settle_added(f, c->more[i].node, INFINITY);
    }
    return true;
}

static bool remove_within(struct flow *f, const struct flow_chamber *c,
                          const struct flow_chamber *then, double limit)
{
    if (c->more_count > 0) limit = INFINITY;
    change(f, c, -1);
    if (!settle_removed(f, c->node, then, limit)) return false;
    for (int i = 0; i < c->more_count; i++) {
        change_more(f, &c->more[i], -1);
        settle_removed(f, c->more[i].node, NULL, INFINITY);
    }
    return true;
}

void flow_add(struct flow *f, const struct flow_chamber *c)
{
    add_within(f, c, INFINITY);
}

void flow_remove(struct flow *f, const struct flow_chamber *c)
{
    remove_within(f, c, NULL, INFINITY);
}

/* prices */

/* Where nothing flows a unit can only go on to a want that is short. */
static void price_nothing_sent(struct flow *f)
{
    double dearest = 1;
    for (int c = 0; c < f->cell_count; c++)
        dearest = fmax(dearest, fabs(f->short_cost[c]));
    for (int i = 0; i < f->first_arc[f->node_count]; i++)
        dearest = fmax(dearest, fabs(f->arcs[i].cost));
    for (int n = 0; n < f->node_count; n++)
        dearest = fmax(dearest, f->waste_cost[n]);
    for (int l = 0; l < f->layer_count; l++)
        dearest = fmax(dearest, fabs(f->layer_cost[l]));
    f->far = dearest * (f->node_count + f->cell_count + 2);
    for (int c = 0; c < f->cell_count; c++)
        f->price[f->node_count + c] = f->wanted_ug[c] > 0 ? -f->short_cost[c] : f->far;
    for (int n = 0; n < f->node_count; n++) {
        f->price[n] = f->far;
        for (int i = f->first_arc[n]; i < f->first_arc[n + 1]; i++)
            f->price[n] =
                fmin(f->price[n], f->arcs[i].cost + f->price[f->node_count + f->arcs[i].cell]);
    }
}

static void price_bids(struct flow *f)
{
    int64_t ug = 0;
    for (int c = 0; c < f->cell_count; c++) {
        int at = f->node_count + c;
        bool is_short = f->met_ug[c] < f->wanted_ug[c];
        reach(f, at, 0, (is_short ? -f->short_cost[c] : f->far) - f->price[at], -1);
    }
    for (int n = 0; n < f->node_count; n++) {
        double top = top_cost(f, n, &ug);
        reach(f, n, 0, (ug > 0 ? -top : f->far) - f->price[n], -1);
    }
    spread(f, true, NULL);
    for (int at = 0; at < f->node_count + f->cell_count; at++)
        f->price[at] += f->distance[at];
    for (int n = 0; n < f->node_count; n++)
        f->bid[n] = -f->price[n];
    search_end(f);
}

static void price_asks(struct flow *f)
{
    int64_t ug = 0;
    for (int c = 0; c < f->cell_count; c++) {
        int at = f->node_count + c;
        if (f->met_ug[c] > 0) reach(f, at, 0, f->short_cost[c] + f->price[at], -1);
    }
    for (int n = 0; n < f->node_count; n++) {
        double next = next_cost(f, n, &ug);
        if (ug > 0) reach(f, n, 0, next + f->price[n], -1);
    }
    spread(f, false, NULL);
    for (int n = 0; n < f->node_count; n++)
        f->ask[n] = f->distance[n] - f->price[n];
    search_end(f);
}

/* What was undone before has its prices back; those made here are not taken back: they hold for the
 * flow that is kept. */
void flow_price(struct flow *f)
{
    price_bids(f);
    price_asks(f);
}

double flow_add_bound(const struct flow *f, const struct flow_chamber *c, const double *prices)
{
    return goods_bound(f, c, prices, 1);
}

double flow_remove_bound(const struct flow *f, const struct flow_chamber *c, const double *prices)
{
    return -goods_bound(f, c, prices, 1);
}

double flow_cost(const struct flow *f)
{
    double cost = 0;
    for (int n = 0; n < f->node_count; n++)
        cost += node_cost(f, n);
    for (int i = 0; i < f->first_arc[f->node_count]; i++)
        cost += (double)f->arc_ug[i] * KG * f->arcs[i].cost;
    for (int c = 0; c < f->cell_count; c++)
        cost += (double)(f->wanted_ug[c] - f->met_ug[c]) * KG * f->short_cost[c];
    return cost;
}

bool flow_exchange(struct flow *from, const struct flow_chamber *out, struct flow *to,
                   const struct flow_chamber *in, double most)
{
    double before = from ? from->cost : 0, room = most + ROUNDING_ALL;
    if (from && from == to)
        return remove_within(from, out, in, before + room) && add_within(to, in, before + room);
    if (from) {
        double other = to && isfinite(most) ? flow_add_bound(to, in, to->bid) : 0;
        if (!remove_within(from, out, NULL, before + room - other)) return false;
        room -= from->cost - before;
    }
    return !to || add_within(to, in, to->cost + room);
}

int64_t flow_layer_used_ug(const struct flow *f, int node, int layer)
{
    int64_t left = f->used_ug[node] - f->sunk_ug[node];
    for (int l = f->first_layer[node]; l < layer; l++)
        left -= f->layer_ug[l];
    return left < 0 ? 0 : least(left, f->layer_ug[layer]);
}

struct flow *flow_new(struct arena *a, const struct plan_frame *f, int first_crop,
                      const struct flow_terms *terms, struct flow_chamber *chambers)
{
    struct flow *w = flow_make(a, f, first_crop, terms, chambers);
    w->cost = flow_cost(w);
    price_nothing_sent(w);
    for (int n = 0; n < w->node_count; n++)
        settle_added(w, n, INFINITY);
    flow_keep(w);
    return w;
}

void flow_release(struct flow *f)
{
    free(f->undo);
    f->undo = NULL;
    f->undo_count = f->undo_room = 0;
}
