#include "plan/realize.h"

#include <math.h>

#include "plan/build.h"

/* Less than this missing is rounding. */
static const double ROUNDING_KG = 1e-5;

struct realizing {
    const struct search *s;
    struct builder *b;
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
        double want_kg = kg(flow_layer_used_ug(w, c->node, c->layer)) * share /
                         f->fills[fill].packed_kg_per_kg;
        double most_kg =
            f->options[o].seed_max_kg * r->b->plan->counts[o] - plan_option_seed_kg(r->b->plan, o);
        want_kg = fmin(want_kg, most_kg);
        if (want_kg > 0 && builder_add_seed(r->b, fill, want_kg) < want_kg - ROUNDING_KG)
            r->is_cut = true;
    }
}

static void deliver(struct realizing *r, const struct flow *w, int arc)
{
    int node = w->frame_nodes[w->arcs[arc].node], cell = w->frame_cells[w->arcs[arc].cell];
    if (node == PLAN_NONE) return; /* still grows at the end: counted from its seed */
    double want_kg = kg(w->arc_ug[arc]);
    double give_kg =
        fmin(want_kg, fmin(r->b->left_kg[node], builder_lets_through_kg(r->b, node)));
    if (cell != PLAN_NONE) give_kg = fmin(give_kg, r->b->open_kg[cell]);
    if (give_kg < want_kg - ROUNDING_KG) r->is_cut = true;
    if (give_kg <= 0) return;
    if (cell != PLAN_NONE) {
        builder_serve(r->b, node, cell, give_kg);
        return;
    }
    r->b->plan->end_kg[node] += give_kg;
    r->b->left_kg[node] -= give_kg;
    slack_take_goods(r->b->slack, node, give_kg);
}

/* Dearest wants of a day first, so that what is cut is cut where it costs least; the end last. */
static void deliver_all(struct realizing *r, int *flow_cell_of)
{
    const struct plan_frame *f = r->s->f;
    for (int k = 0; k < f->p->crop_count; k++)
        for (int c = 0; c + 1 < r->s->flows[k]->cell_count; c++)
            flow_cell_of[r->s->flows[k]->frame_cells[c]] = c;
    for (int i = 0; i < f->cell_count; i++) {
        int cell = r->b->cell_order[i];
        const struct flow *w = r->s->flows[f->cells[cell].crop];
        int at = flow_cell_of[cell];
        for (int j = w->first_into[at]; j < w->first_into[at + 1]; j++)
            if (w->arc_ug[w->into[j]] > 0) deliver(r, w, w->into[j]);
    }
    for (int k = 0; k < f->p->crop_count; k++) {
        const struct flow *w = r->s->flows[k];
        int end = w->cell_count - 1;
        for (int j = w->first_into[end]; j < w->first_into[end + 1]; j++)
            if (w->arc_ug[w->into[j]] > 0) deliver(r, w, w->into[j]);
    }
}

static struct realizing realize_once(struct arena *a, const struct search *s)
{
    struct realizing r = {.s = s, .b = builder_new(a, s->f)};
    start_all(&r);
    fill_all(&r);
    deliver_all(&r, ARENA_ARRAY(a, int, (size_t)s->f->cell_count + 1));
    return r;
}

struct realized plan_realize(struct arena *a, const struct search *s)
{
    struct realizing r = realize_once(a, s);
    plan_flows_tidy(r.b->plan);
    struct realized out = {.plan = r.b->plan, .cost = plan_cost(a, r.b->plan), .is_cut = r.is_cut};
    if (!r.is_cut) return out;
    struct realizing more = realize_once(a, s);
    for (int i = 0; i < s->f->cell_count; i++) {
        builder_serve_from_made(more.b, more.b->cell_order[i]);
        builder_fill_started(more.b, more.b->cell_order[i]);
    }
    plan_flows_tidy(more.b->plan);
    double cost = plan_cost(a, more.b->plan);
    if (cost < out.cost) {
        out.plan = more.b->plan;
        out.cost = cost;
    }
    return out;
}
