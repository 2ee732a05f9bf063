#include "plan/construct.h"

#include <math.h>

#include "plan/build.h"

/* Shortage a full chamber would avoid, against what it costs. */
static bool pays(const struct builder *b, int option)
{
    const struct plan_frame *f = b->f;
    const struct plan_option *o = &f->options[option];
    double yield = f->fills[o->first_fill].packed_kg_per_kg;
    double left_kg = fmin(o->seed_max_kg * yield, builder_lets_through_kg(b, o->node, PLAN_NONE));
    double gain = 0, used_kg = 0;
    for (int i = 0; i < f->cell_count && left_kg > BUILD_NOTHING_KG; i++) {
        int cell = b->cell_order[i];
        if (b->open_kg[cell] <= BUILD_NOTHING_KG || !plan_serves(f, o->node, cell)) continue;
        double kg = fmin(left_kg, b->open_kg[cell]);
        if (f->cells[cell].mix > 0) kg = fmin(kg, builder_lets_through_kg(b, o->node, cell));
        if (kg <= 0) continue;
        double hold = plan_serve_cost(f, o->node, cell);
        if (f->cells[cell].shortage_cost_per_kg <= hold) continue;
        gain += kg * (f->cells[cell].shortage_cost_per_kg - hold);
        left_kg -= kg;
        used_kg += kg;
    }
    double least_kg = o->seed_min_kg * yield;
    double seed_kg = fmax(o->seed_min_kg, used_kg / yield);
    double cost = f->p->crops[o->crop].start_cost +
                  seed_kg * f->grades[f->fills[o->first_fill].grade].cost_per_kg +
                  fmax(0, least_kg - used_kg) * f->p->crops[o->crop].waste_cost_per_kg;
    return gain > cost;
}

static void start_for(struct builder *b, int cell)
{
    for (int i = 0; i < b->f->option_count && b->open_kg[cell] > BUILD_NOTHING_KG; i++) {
        int o = b->option_order[i];
        int node = b->f->options[o].node;
        if (node == PLAN_NONE || !plan_serves(b->f, node, cell)) continue;
        while (b->open_kg[cell] > BUILD_NOTHING_KG && builder_may_start(b, o) && pays(b, o)) {
            builder_start(b, o);
            builder_serve_from_made(b, cell);
            builder_fill_for(b, o, cell);
        }
    }
}

static void keep_taken(struct builder *b)
{
    const struct plan_frame *f = b->f;
    if (f->p->change_cost <= 0) return;
    for (int w = 0; w < f->wish_count; w++) {
        const struct plan_wish *x = &f->wishes[w];
        int kept = 0;
        for (int o = 0; o < f->option_count && kept < x->count; o++) {
            const struct plan_option *y = &f->options[o];
            if (y->day != x->day || y->crop != x->crop || y->way != x->way || y->pool != x->pool)
                continue;
            for (; kept < x->count && builder_may_start(b, o); kept++)
                builder_start(b, o);
        }
    }
}

struct plan *plan_construct(struct arena *a, const struct plan_frame *f)
{
    struct builder *b = builder_new(a, f);
    keep_taken(b);
    for (int i = 0; i < f->cell_count; i++) {
        int cell = b->cell_order[i];
        builder_serve_from_made(b, cell);
        builder_fill_started(b, cell);
        start_for(b, cell);
    }
    plan_flows_tidy(b->plan);
    return b->plan;
}
