#include "plan/flow.h"

#include <math.h>
#include <stdlib.h>

#include "base/check.h"
#include "plan/flow_make.h"

/* Gains below this, in cost of one kg, are rounding. */
static const double NOTHING = 1e-9;
static const double KG = 1e-9; /* of one microgram; units of a crop are counted as kg are */

static void set(struct flow *f, int64_t *place, int64_t value)
{
    if (f->undo_count == f->undo_room) {
        f->undo_room = f->undo_room > 0 ? 2 * f->undo_room : 256;
        f->undo = realloc(f->undo, (size_t)f->undo_room * sizeof *f->undo);
        CHECK(f->undo != NULL);
    }
    f->undo[f->undo_count++] = (struct flow_undo){place, *place};
    *place = value;
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
        *u->place = u->old;
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

/* shortest paths */

struct path {
    int end; /* node, or node_count + cell */
    double cost;
    int64_t ug; /* that the end takes or gives */
};

static void reach(struct flow *f, int at, double distance, int arc)
{
    if (distance >= f->distance[at] - NOTHING) return;
    f->distance[at] = distance;
    f->by_arc[at] = arc;
    if (f->queued[at]) return;
    f->queued[at] = true;
    f->queue[f->queue_last] = at;
    if (++f->queue_last == f->queue_room) f->queue_last = 0;
}

static void search_begin(struct flow *f)
{
    f->queue_first = f->queue_last = 0;
    for (int i = 0; i < f->node_count + f->cell_count; i++)
        f->distance[i] = INFINITY;
}

static void better(struct path *best, int end, double cost, int64_t ug)
{
    if (ug > 0 && cost < best->cost - NOTHING) *best = (struct path){end, cost, ug};
}

static void from_node(struct flow *f, int node, bool pull, struct path *best)
{
    double d = f->distance[node];
    int64_t ug = 0;
    if (best && f->by_arc[node] >= 0) {
        double end = pull ? next_cost(f, node, &ug) : -top_cost(f, node, &ug);
        better(best, node, d + end, ug);
    }
    for (int i = f->first_arc[node]; i < f->first_arc[node + 1]; i++)
        if (!pull)
            reach(f, f->node_count + f->arcs[i].cell, d + f->arcs[i].cost, i);
        else if (f->arc_ug[i] > 0)
            reach(f, f->node_count + f->arcs[i].cell, d - f->arcs[i].cost, i);
}

static void from_cell(struct flow *f, int cell, bool pull, struct path *best)
{
    double d = f->distance[f->node_count + cell], out = f->short_cost[cell];
    if (best)
        better(best, f->node_count + cell, pull ? d + out : d - out,
               pull ? f->met_ug[cell] : f->wanted_ug[cell] - f->met_ug[cell]);
    for (int k = f->first_into[cell]; k < f->first_into[cell + 1]; k++) {
        int i = f->into[k];
        if (pull)
            reach(f, f->arcs[i].node, d + f->arcs[i].cost, i);
        else if (f->arc_ug[i] > 0)
            reach(f, f->arcs[i].node, d - f->arcs[i].cost, i);
    }
}

/* Least distances from what was reached so far, by labels that are corrected until none improves.
 * push: goods go on over any arc and come back where they flow; pull: the other way round. */
static void spread(struct flow *f, bool pull, struct path *best)
{
    while (f->queue_first != f->queue_last) {
        int at = f->queue[f->queue_first];
        if (++f->queue_first == f->queue_room) f->queue_first = 0;
        f->queued[at] = false;
        if (at < f->node_count)
            from_node(f, at, pull, best);
        else
            from_cell(f, at - f->node_count, pull, best);
    }
}

/* push: where more goods of the node would do most good: an unmet want, or costlier goods they set
 * free. pull: where the node's goods are missed least: other goods step in, or a want goes short.
 */
static struct path path_from(struct flow *f, int node, bool pull)
{
    struct path best = {.cost = INFINITY};
    search_begin(f);
    reach(f, node, 0, -1);
    spread(f, pull, &best);
    return best;
}

static int64_t least(int64_t x, int64_t y)
{
    return x < y ? x : y;
}

/* Sends up to most_ug along a path found from the node. -> ug sent */
static int64_t send(struct flow *f, int from, struct path path, int64_t most_ug, bool pull)
{
    int64_t ug = least(most_ug, path.ug);
    for (int at = path.end; at != from;) {
        int i = f->by_arc[at];
        bool is_cell = at >= f->node_count;
        if (is_cell == pull) ug = least(ug, f->arc_ug[i]);
        at = is_cell ? f->arcs[i].node : f->node_count + f->arcs[i].cell;
    }
    for (int at = path.end; at != from;) {
        int i = f->by_arc[at];
        bool is_cell = at >= f->node_count;
        set(f, &f->arc_ug[i], f->arc_ug[i] + (is_cell == pull ? -ug : ug));
        at = is_cell ? f->arcs[i].node : f->node_count + f->arcs[i].cell;
    }
    int64_t *end =
        path.end < f->node_count ? &f->used_ug[path.end] : &f->met_ug[path.end - f->node_count];
    bool more = (path.end < f->node_count) == pull;
    set(f, end, *end + (more ? ug : -ug));
    set(f, &f->used_ug[from], f->used_ug[from] + (pull ? -ug : ug));
    return ug;
}

static void settle_added(struct flow *f, int node)
{
    for (;;) {
        int64_t ug = 0;
        double next = next_cost(f, node, &ug);
        if (ug <= 0) return;
        struct path path = path_from(f, node, false);
        if (!(path.cost + next < -NOTHING)) return;
        f->cost += (path.cost + next) * KG * (double)send(f, node, path, ug, false);
    }
}

static void settle_removed(struct flow *f, int node)
{
    for (;;) {
        int64_t ug = 0, over = f->used_ug[node] - capacity(f, node);
        if (f->used_ug[node] == 0) return;
        double top = over > 0 ? 0 : top_cost(f, node, &ug);
        struct path path = path_from(f, node, true);
        if (over <= 0 && !(path.cost - top < -NOTHING)) return;
        CHECK(isfinite(path.cost));
        f->cost += (path.cost - top) * KG * (double)send(f, node, path, over > 0 ? over : ug, true);
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

void flow_add(struct flow *f, const struct flow_chamber *c)
{
    change(f, c, 1);
    settle_added(f, c->node);
    for (int i = 0; i < c->more_count; i++) {
        change_more(f, &c->more[i], 1);
        settle_added(f, c->more[i].node);
    }
}

void flow_remove(struct flow *f, const struct flow_chamber *c)
{
    change(f, c, -1);
    settle_removed(f, c->node);
    for (int i = 0; i < c->more_count; i++) {
        change_more(f, &c->more[i], -1);
        settle_removed(f, c->more[i].node);
    }
}

/* prices */

static void price_bids(struct flow *f)
{
    int64_t ug = 0;
    search_begin(f);
    for (int c = 0; c < f->cell_count; c++)
        if (f->met_ug[c] < f->wanted_ug[c]) reach(f, f->node_count + c, -f->short_cost[c], -1);
    for (int n = 0; n < f->node_count; n++) {
        double top = top_cost(f, n, &ug);
        if (ug > 0) reach(f, n, -top, -1);
    }
    spread(f, true, NULL);
    for (int n = 0; n < f->node_count; n++)
        f->bid[n] = -f->distance[n];
}

static void price_asks(struct flow *f)
{
    int64_t ug = 0;
    search_begin(f);
    for (int c = 0; c < f->cell_count; c++)
        if (f->met_ug[c] > 0) reach(f, f->node_count + c, f->short_cost[c], -1);
    for (int n = 0; n < f->node_count; n++) {
        double next = next_cost(f, n, &ug);
        if (ug > 0) reach(f, n, next, -1);
    }
    spread(f, false, NULL);
    for (int n = 0; n < f->node_count; n++)
        f->ask[n] = f->distance[n];
}

void flow_price(struct flow *f)
{
    price_bids(f);
    price_asks(f);
}

static double goods_bound(const struct flow *f, const struct flow_chamber *c, const double *prices)
{
    double price = prices[c->node];
    double bound = (double)c->forced_ug * fmin(f->waste_cost[c->node], -price) +
                   (double)c->optional_ug * fmin(0, f->layer_cost[c->layer] - price);
    for (int i = 0; i < c->more_count; i++) {
        int node = c->more[i].node;
        bound += (double)c->more[i].forced_ug * fmin(f->waste_cost[node], -prices[node]);
    }
    return bound * KG;
}

double flow_add_bound(const struct flow *f, const struct flow_chamber *c, const double *prices)
{
    return goods_bound(f, c, prices);
}

double flow_remove_bound(const struct flow *f, const struct flow_chamber *c, const double *prices)
{
    return -goods_bound(f, c, prices);
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
    for (int n = 0; n < w->node_count; n++)
        settle_added(w, n);
    flow_keep(w);
    return w;
}

void flow_release(struct flow *f)
{
    free(f->undo);
    f->undo = NULL;
    f->undo_count = f->undo_room = 0;
}
