#include "plan/realize.h"

#include <math.h>

#include "plan/build.h"

/* Less than this missing is rounding. */
static const double ROUNDING_KG = 1e-5;

struct realizing {
    const struct search *s;
    struct builder *b;
    double dearest_seed; /* of one packed kg */
    bool is_cut;
};

static double kg(int64_t ug)
{
    return (double)ug * 1e-9;
}

static int fill_of(const struct search *s, int option)
{
    const struct plan_option *o = &s->f->options[option];
    int fill = o->first_fill;
    while (s->f->fills[fill].grade != s->options[option].grade)
        fill++;
    return fill;
}

static void start_all(struct realizing *r)
{
    for (int i = 0; i < r->s->choosing_count; i++) {
        int running = r->s->choosing[i];
        builder_choose(r->b, running, r->s->choices[running]);
    }
    for (int o = 0; o < r->s->f->option_count; o++)
        for (int i = 0; i < r->s->counts[o]; i++) {
            if (!builder_may_start(r->b, o)) {
                r->is_cut = true;
                break;
            }
            builder_start(r->b, o);
        }
}

/* Seed beyond the least filling, an option's share of what the flow uses of its layer. */
static void fill_all(struct realizing *r)
{
    const struct search *s = r->s;
    const struct plan_frame *f = s->f;
    for (int o = 0; o < f->option_count; o++) {
        if (r->b->plan->counts[o] == 0) continue;
        const struct flow_chamber *c = &s->chambers[o];
        const struct flow *w = s->flows[s->options[o].flow];
        double room_kg = kg(w->layer_ug[c->layer]);
        if (room_kg <= 0) continue;
        double share = kg(c->optional_ug) * s->counts[o] / room_kg;
        int fill = fill_of(s, o);
        double used_kg =
            kg(flow_layer_used_ug(w, c->node, c->layer)) * f->unit_kg[f->options[o].crop];
        double want_kg = used_kg * share / f->fills[fill].packed_kg_per_kg;
        double most_kg =
            f->options[o].seed_max_kg * r->b->plan->counts[o] - plan_option_seed_kg(r->b->plan, o);
        want_kg = fmin(want_kg, most_kg);
        if (want_kg > 0 && builder_add_seed(r->b, fill, want_kg) < want_kg - ROUNDING_KG)
            r->is_cut = true;
    }
}

/* What the node serves the cell's want with, on whatever day. */
static double given_kg(const struct realizing *r, int node, int cell)
{
    const struct plan *plan = r->b->plan;
    const struct plan_cell *cells = r->s->f->cells;
    double sum_kg = 0;
    for (int i = 0; i < plan->flow_count; i++)
        if (plan->flows[i].node == node && cells[plan->flows[i].cell].want == cells[cell].want)
            sum_kg += plan->flows[i].kg;
    return sum_kg;
}

/* To the cell, which is the arc's or shares its want. */
static void deliver(struct realizing *r, const struct flow *w, int arc, int cell)
{
    int node = w->frame_nodes[w->arcs[arc].node], want = w->frame_cells[w->arcs[arc].cell];
    if (node == PLAN_NONE) return; /* still grows at the end: counted from its seed */
    if (cell != PLAN_NONE && !plan_serves(r->s->f, node, cell)) return; /* another day of it */

    const struct plan_frame *f = r->s->f;
    double ratio = cell != PLAN_NONE ? plan_serve_ratio(f, node, cell) : 1;
    int counted = cell != PLAN_NONE ? f->cells[cell].crop : f->nodes[node].crop;
    double want_kg = kg(w->arc_ug[arc]) * f->unit_kg[counted] * ratio;
    bool has_others = want != PLAN_NONE && f->cells[want].later != PLAN_NONE;
    if (has_others) want_kg -= given_kg(r, node, cell);
    double give_kg =
        fmin(want_kg, fmin(r->b->left_kg[node], builder_lets_through_kg(r->b, node, cell)));
    if (cell != PLAN_NONE) give_kg = fmin(give_kg, builder_open_kg(r->b, cell) * ratio);
    if (give_kg < want_kg - ROUNDING_KG && !has_others) r->is_cut = true;
    if (give_kg <= 0) return;
    if (cell != PLAN_NONE) {
        builder_serve(r->b, node, cell, give_kg);
        return;
    }
    r->b->plan->end_kg[node] += give_kg;
    r->b->left_kg[node] -= give_kg;
    slack_take_goods(r->b->slack, node, 0, give_kg);
}

static void deliver_cell(struct realizing *r, const int *flow_cell_of, int cell)
{
    const struct flow *w = r->s->flows[r->s->f->cells[cell].crop];
    int at = flow_cell_of[r->s->f->cells[cell].want];
    for (int j = w->first_into[at]; j < w->first_into[at + 1]; j++)
        if (w->arc_ug[w->into[j]] > 0) deliver(r, w, w->into[j], cell);
}

/* Dearest wants of a day first, so that what is cut is cut where it costs least; the end last. */
static void deliver_all(struct realizing *r, int *flow_cell_of)
{
    const struct plan_frame *f = r->s->f;
    for (int k = 0; k < f->p->crop_count; k++)
        for (int c = 0; c < flow_wants_count(r->s->flows[k]); c++)
            flow_cell_of[r->s->flows[k]->frame_cells[c]] = c;
    for (int i = 0; i < f->cell_count; i++) {
        int cell = r->b->cell_order[i];
        const struct plan_cell *c = &f->cells[cell];
        if (c->own != PLAN_NONE) continue; /* with its dish */
        const struct plan_dish *dish = c->dish == PLAN_NONE ? NULL : &f->dishes[c->dish];
        for (int k = 0; dish && k < dish->count; k++)
            deliver_cell(r, flow_cell_of, dish->first + k);
        deliver_cell(r, flow_cell_of, cell);
        if (dish) builder_give_back(r->b, c->dish);
    }
    for (int k = 0; k < f->p->crop_count; k++) {
        const struct flow *w = search_flow_from(r->s, k);
        for (int end = w ? flow_wants_count(w) : 0; w && end < w->cell_count; end++)
            for (int j = w->first_into[end]; j < w->first_into[end + 1]; j++)
                if (w->arc_ug[w->into[j]] > 0) deliver(r, w, w->into[j], PLAN_NONE);
    }
}

static void share_out_dish(struct realizing *r, int dish)
{
    const struct plan_frame *f = r->s->f;
    const struct plan_dish *x = &f->dishes[dish];
    double seed_cost = r->dearest_seed;
    builder_serve_dish(r->b, dish);
    for (int c = x->first; c < x->first + x->count; c++)
        seed_cost += r->dearest_seed * f->cells[c].each;
    if (f->cells[x->own].shortage_cost_per_kg > seed_cost) builder_fill_dish(r->b, dish);
}

/* Where something was cut, others may want what is left: goods made, and seed that pays. */
static void share_out(struct realizing *r)
{
    const struct plan_frame *f = r->s->f;
    for (int i = 0; i < f->cell_count; i++) {
        int cell = r->b->cell_order[i];
        if (f->cells[cell].own != PLAN_NONE) continue;
        if (f->cells[cell].dish != PLAN_NONE) {
            share_out_dish(r, f->cells[cell].dish);
            continue;
        }
        builder_serve_from_made(r->b, cell);
        double worth = f->cells[cell].shortage_cost_per_kg;
        if (worth > r->dearest_seed) builder_fill_started(r->b, cell);
    }
    for (int i = 0; f->has_ties && i < f->cell_count; i++) {
        int cell = r->b->cell_order[i];
        builder_serve_across(r->b, cell);
        if (f->cells[cell].shortage_cost_per_kg > r->dearest_seed) builder_fill_across(r->b, cell);
    }
    if (f->dish_count > 0) builder_spare_seed(r->b);
}

static double dearest_seed(const struct plan_frame *f)
{
    double dearest = 0;
    for (int i = 0; i < f->fill_count; i++)
        dearest =
            fmax(dearest, f->grades[f->fills[i].grade].cost_per_kg / f->fills[i].packed_kg_per_kg);
    return dearest;
}

struct realizer *realizer_new(struct arena *a, const struct plan_frame *f)
{
    struct realizer *r = ARENA_NEW(a, struct realizer);
    r->builder = builder_new(a, f);
    r->flow_cell_of = ARENA_ARRAY(a, int, (size_t)f->cell_count + 1);
    r->dearest_seed = dearest_seed(f);
    return r;
}

struct realized plan_realize(struct realizer *w, struct arena *scratch, const struct search *s)
{
    struct realizing r = {.s = s, .b = w->builder, .dearest_seed = w->dearest_seed};
    builder_reset(r.b);
    start_all(&r);
    fill_all(&r);
    deliver_all(&r, w->flow_cell_of);
    if (r.is_cut || s->f->has_uneven_swap || s->f->dish_count > 0) share_out(&r);
    return (struct realized){r.b->plan, plan_cost(scratch, r.b->plan), r.is_cut};
}
