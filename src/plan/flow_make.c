#include "plan/flow_make.h"

#include <math.h>
#include <stdlib.h>

#include "plan/mix.h"
#include "plan/pool.h"

static const double KG = 1e-9; /* of one microgram; units of a crop are counted as kg are */
static const double GOODS_MOST_KG = 1e8, CHAMBER_MOST_KG = 1e6;

int flow_goods_count(const struct flow *f)
{
    return f->node_count - f->crop_count;
}

int flow_wants_count(const struct flow *f)
{
    return f->cell_count - f->crop_count;
}

/* Whoever plans with more than most_kg has mistyped; the plan is then no better than with that, but
 * sums stay far from the end of the numbers. */
static int64_t to_ug(double units, double most)
{
    return (int64_t)floor(fmin(units, most) / KG + 0.5);
}

static double end_wanted_kg(const struct plan_frame *f, int crop)
{
    const struct plan_crop *c = &f->p->crops[crop];
    return c->end_value_per_kg > 0 ? fmax(0, c->end_kg_wanted - f->fixed_end_kg[crop]) : 0;
}

static void take_crops(struct flow *w, struct arena *a, const struct plan_frame *f, int first_crop)
{
    w->crops = ARENA_ARRAY(a, int, (size_t)f->p->crop_count);
    for (int k = first_crop; k < f->p->crop_count; k++)
        if (f->tied_to[k] == first_crop) w->crops[w->crop_count++] = k;
}

static void take_nodes_and_cells(struct flow *w, struct arena *a, const struct plan_frame *f,
                                 const struct flow_terms *terms)
{
    int first = w->crops[0];
    w->frame_nodes = ARENA_ARRAY(a, int, (size_t)(f->node_count + w->crop_count));
    w->frame_cells = ARENA_ARRAY(a, int, (size_t)(f->cell_count + w->crop_count));
    for (int n = 0; n < f->node_count; n++)
        if (f->tied_to[f->nodes[n].crop] == first) w->frame_nodes[w->node_count++] = n;
    for (int c = 0; c < f->cell_count; c++)
        if (f->tied_to[f->cells[c].crop] == first && f->cells[c].want == c)
            w->frame_cells[w->cell_count++] = c;
    for (int i = 0; i < w->crop_count; i++) {
        w->frame_nodes[w->node_count++] = PLAN_NONE;
        w->frame_cells[w->cell_count++] = PLAN_NONE;
    }
    size_t nodes = (size_t)w->node_count, cells = (size_t)w->cell_count;
    w->short_cost = ARENA_ARRAY(a, double, cells);
    w->wanted_ug = ARENA_ARRAY(a, int64_t, cells);
    w->met_ug = ARENA_ARRAY(a, int64_t, cells);
    w->waste_cost = ARENA_ARRAY(a, double, nodes);
    w->sunk_ug = ARENA_ARRAY(a, int64_t, nodes);
    w->used_ug = ARENA_ARRAY(a, int64_t, nodes);
    w->bid = ARENA_ARRAY(a, double, nodes);
    w->ask = ARENA_ARRAY(a, double, nodes);
    for (int c = 0; c < flow_wants_count(w); c++) {
        const struct plan_cell *x = &f->cells[w->frame_cells[c]];
        w->wanted_ug[c] = to_ug(x->kg / f->unit_kg[x->crop], GOODS_MOST_KG);
        w->short_cost[c] = terms->short_cost[w->frame_cells[c]] * f->unit_kg[x->crop];
    }
    for (int i = 0; i < w->crop_count; i++)
        w->wanted_ug[flow_wants_count(w) + i] =
            to_ug(end_wanted_kg(f, w->crops[i]) / f->unit_kg[w->crops[i]], GOODS_MOST_KG);
    for (int n = 0; n < flow_goods_count(w); n++) {
        int crop = f->nodes[w->frame_nodes[n]].crop;
        w->waste_cost[n] = f->p->crops[crop].waste_cost_per_kg * f->unit_kg[crop];
    }
}

/* Of one kg of the node's crop in the cell's mix, beyond the crop itself. */
static double mix_cost(const struct plan_frame *f, const struct flow_terms *terms, int node,
                       int cell)
{
    int mix = f->cells[cell].mix, day = plan_pack_day(f, node);
    if (mix == 0 || day == PLAN_NONE) return 0;
    double pack = f->nodes[node].is_stock ? 0 : terms->pack_cost[day];
    return terms->mix_cost[mix * f->p->day_count + day] + pack * (f->mixes[mix].pack_kg - 1);
}

/* Of a node or cell. */
static int crop_of_node(const struct flow *w, const struct plan_frame *f, int node)
{
    int n = w->frame_nodes[node];
    return n != PLAN_NONE ? f->nodes[n].crop : w->crops[node - flow_goods_count(w)];
}

static int crop_of_cell(const struct flow *w, const struct plan_frame *f, int cell)
{
    int c = w->frame_cells[cell];
    return c != PLAN_NONE ? f->cells[c].crop : w->crops[cell - flow_wants_count(w)];
}

/* Does the node's produce go into the cell, and at what cost a unit? */
static bool arc_between(const struct flow *w, const struct plan_frame *f,
                        const struct flow_terms *terms, int node, int cell, double *out_cost)
{
    int n = w->frame_nodes[node], c = w->frame_cells[cell];
    const struct plan_crop *crop = &f->p->crops[crop_of_node(w, f, node)];
    double unit_kg = f->unit_kg[crop_of_node(w, f, node)];
    if (n == PLAN_NONE || c == PLAN_NONE) {
        bool is_own = crop_of_node(w, f, node) == crop_of_cell(w, f, cell);
        *out_cost = (n == PLAN_NONE ? -crop->end_value_per_kg
                                    : terms->goods_cost[n] - f->nodes[n].end_value) *
                    unit_kg;
        return c == PLAN_NONE && is_own && w->wanted_ug[cell] > 0 &&
               (n == PLAN_NONE || f->nodes[n].end_value > 0);
    }
    c = plan_first_cell(f, n, c);
    if (c == PLAN_NONE) return false;
    double goods_kg = plan_serve_ratio(f, n, c) * f->unit_kg[f->cells[c].crop];
    *out_cost =
        (terms->goods_cost[n] + mix_cost(f, terms, n, c) + plan_serve_cost(f, n, c)) * goods_kg -
        crop->waste_cost_per_kg * (goods_kg - unit_kg);
    return true;
}

static void make_arcs(struct flow *w, struct arena *a, const struct plan_frame *f,
                      const struct flow_terms *terms)
{
    int count = 0;
    double cost = 0;
    w->first_arc = ARENA_ARRAY(a, int, (size_t)w->node_count + 1);
    w->first_into = ARENA_ARRAY(a, int, (size_t)w->cell_count + 1);
    for (int pass = 0; pass < 2; pass++) {
        if (pass == 1) {
            w->arcs = ARENA_ARRAY(a, struct flow_arc, (size_t)count + 1);
            w->arc_ug = ARENA_ARRAY(a, int64_t, (size_t)count + 1);
            w->into = ARENA_ARRAY(a, int, (size_t)count + 1);
        }
        count = 0;
        for (int n = 0; n < w->node_count; n++) {
            for (int c = 0; c < w->cell_count; c++)
                if (arc_between(w, f, terms, n, c, &cost)) {
                    if (pass == 1) w->arcs[count] = (struct flow_arc){n, c, cost};
                    count++;
                }
            w->first_arc[n + 1] = count;
        }
    }
    int at = 0;
    for (int c = 0; c < w->cell_count; c++) {
        for (int i = 0; i < count; i++)
            if (w->arcs[i].cell == c) w->into[at++] = i;
        w->first_into[c + 1] = at;
    }
}

/* PLAN_NONE: what of the crop still grows at the end. */
static int flow_node(const struct flow *w, int frame_node, int crop)
{
    if (frame_node == PLAN_NONE) {
        int i = 0;
        while (w->crops[i] != crop)
            i++;
        return flow_goods_count(w) + i;
    }
    int low = 0, high = flow_goods_count(w) - 1;
    while (low < high) {
        int middle = (low + high) / 2;
        if (w->frame_nodes[middle] < frame_node)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

struct layer_key {
    int node;
    double cost;
    int option;
};

static int by_layer(const void *x, const void *y)
{
    const struct layer_key *a = x, *b = y;
    if (a->node != b->node) return a->node < b->node ? -1 : 1;
    if (a->cost != b->cost) return a->cost < b->cost ? -1 : 1;
    return (a->option > b->option) - (a->option < b->option);
}

/* Harvests after the first, of a chamber filled to the top. */
static const struct flow_more *more_of(const struct flow *w, struct arena *a,
                                       const struct plan_option *o, double yield)
{
    struct flow_more *more = ARENA_ARRAY(a, struct flow_more, (size_t)o->harvest_count);
    for (int h = 1; h < o->harvest_count; h++)
        more[h - 1] = (struct flow_more){
            flow_node(w, o->harvests[h].node, o->crop),
            to_ug(o->seed_max_kg * yield * o->harvests[h].share, CHAMBER_MOST_KG)};
    return more;
}

static void make_layers(struct flow *w, struct arena *a, const struct plan_frame *f,
                        const struct flow_terms *terms, struct flow_chamber *chambers)
{
    struct layer_key *keys = ARENA_ARRAY(a, struct layer_key, (size_t)f->option_count + 1);
    int count = 0;
    for (int o = 0; o < f->option_count; o++)
        if (f->tied_to[f->options[o].crop] == w->crops[0])
            keys[count++] = (struct layer_key){
                flow_node(w, f->options[o].node, f->options[o].crop),
                terms->seed_cost[o] / terms->seed_yield[o] * f->unit_kg[f->options[o].crop], o};
    qsort(keys, (size_t)count, sizeof *keys, by_layer);
    w->first_layer = ARENA_ARRAY(a, int, (size_t)w->node_count + 1);
    w->layer_cost = ARENA_ARRAY(a, double, (size_t)count + 1);
    w->layer_ug = ARENA_ARRAY(a, int64_t, (size_t)count + 1);
    int node = 0;
    for (int i = 0; i < count; i++) {
        for (; node < keys[i].node; node++)
            w->first_layer[node + 1] = w->layer_count;
        if (w->first_layer[node] == w->layer_count ||
            w->layer_cost[w->layer_count - 1] != keys[i].cost)
            w->layer_cost[w->layer_count++] = keys[i].cost;
        const struct plan_option *o = &f->options[keys[i].option];
        double yield = terms->seed_yield[keys[i].option] / f->unit_kg[o->crop]; /* units */
        double share = o->harvests[0].share;
        int64_t forced = to_ug(o->seed_min_kg * yield * share, CHAMBER_MOST_KG);
        chambers[keys[i].option] =
            (struct flow_chamber){node,
                                  w->layer_count - 1,
                                  forced,
                                  to_ug(o->seed_max_kg * yield * share, CHAMBER_MOST_KG) - forced,
                                  o->harvest_count - 1,
                                  o->harvest_count > 1 ? more_of(w, a, o, yield) : NULL};
    }
    for (; node < w->node_count; node++)
        w->first_layer[node + 1] = w->layer_count;
}

struct flow_chamber flow_of_choice(const struct flow *w, const struct plan_frame *f, int choice)
{
    const struct plan_choice *x = &f->choices[choice];
    int crop = f->p->running[x->running].crop;
    return (struct flow_chamber){.node = flow_node(w, x->node, crop),
                                 .forced_ug =
                                     to_ug(x->packed_kg / f->unit_kg[crop], CHAMBER_MOST_KG)};
}

/* What a choice brings is counted by itself, so that taking it away leaves no shade of rounding. */
static void take_given(struct flow *w, const struct plan_frame *f)
{
    for (int n = 0; n < flow_goods_count(w); n++) {
        double kg = f->nodes[w->frame_nodes[n]].given_kg;
        int64_t chosen_ug = 0;
        for (int c = 0; c < f->choice_count; c++) {
            if (f->choices[c].node != w->frame_nodes[n] || !plan_choice_is_told(f, c)) continue;
            kg -= f->choices[c].packed_kg;
            chosen_ug += flow_of_choice(w, f, c).forced_ug;
        }
        double units = fmax(0, kg) / f->unit_kg[f->nodes[w->frame_nodes[n]].crop];
        w->sunk_ug[n] = to_ug(units, GOODS_MOST_KG) + chosen_ug;
    }
}

/* Each label comes from an arc, from either of its ends, or from a beginning. */
static void make_search(struct flow *w, struct arena *a)
{
    size_t vertices = (size_t)(w->node_count + w->cell_count);
    w->price = ARENA_ARRAY(a, double, vertices);
    w->distance = ARENA_ARRAY(a, double, vertices);
    w->by_arc = ARENA_ARRAY(a, int, vertices);
    w->near = ARENA_ARRAY(a, int, vertices);
    w->touched = ARENA_ARRAY(a, int, vertices);
    w->heap =
        ARENA_ARRAY(a, struct flow_label, 2 * (vertices + (size_t)w->first_arc[w->node_count]));
    for (size_t i = 0; i < vertices; i++)
        w->distance[i] = INFINITY;
}

struct flow *flow_make(struct arena *a, const struct plan_frame *f, int first_crop,
                       const struct flow_terms *terms, struct flow_chamber *chambers)
{
    struct flow *w = ARENA_NEW(a, struct flow);
    take_crops(w, a, f, first_crop);
    take_nodes_and_cells(w, a, f, terms);
    make_arcs(w, a, f, terms);
    make_search(w, a);
    make_layers(w, a, f, terms, chambers);
    take_given(w, f);
    return w;
}
