#include "plan/construct.h"

#include <math.h>

#include "plan/build.h"

/* Packed kg of a full chamber that its harvests could bring out, by harvest. */
static void full_kg(const struct builder *b, int option, double *left_kg)
{
    const struct plan_option *o = &b->f->options[option];
    double yield = b->f->fills[o->first_fill].packed_kg_per_kg;
    for (int h = 0; h < o->harvest_count; h++) {
        int node = o->harvests[h].node;
        left_kg[h] = node == PLAN_NONE ? 0
                                       : fmin(o->seed_max_kg * yield * o->harvests[h].share,
                                              builder_lets_through_kg(b, node));
    }
}

/* Shortage that a harvest avoids at a cell. -> kg used of it */
static double gain_at(const struct builder *b, int node, int cell, double left_kg, double *open_kg,
                      double *gain)
{
    const struct plan_frame *f = b->f;
    if (left_kg <= BUILD_NOTHING_KG || *open_kg <= BUILD_NOTHING_KG || !plan_serves(f, node, cell))
        return 0;
    double ratio = plan_serve_ratio(f, node, cell);
    double kg = fmin(left_kg, *open_kg * ratio);
    double hold = plan_serve_cost(f, node, cell);
    double spared = f->cells[cell].shortage_cost_per_kg / ratio;
    if (spared <= hold) return 0;
    *gain += kg * (spared - hold);
    *open_kg -= kg / ratio;
    return kg;
}

/* Shortage a full chamber would avoid, against what it costs. */
static bool pays(const struct builder *b, int option)
{
    const struct plan_frame *f = b->f;
    const struct plan_option *o = &f->options[option];
    double left_kg[PLAN_PARTS_MAX], gain = 0, used_kg = 0, all_kg = 0;
    full_kg(b, option, left_kg);
    for (int h = 0; h < o->harvest_count; h++)
        all_kg += left_kg[h];
    for (int i = 0; i < f->cell_count && all_kg - used_kg > BUILD_NOTHING_KG; i++) {
        int cell = b->cell_order[i];
        double open_kg = b->open_kg[cell];
        for (int h = 0; h < o->harvest_count; h++) {
            double kg = gain_at(b, o->harvests[h].node, cell, left_kg[h], &open_kg, &gain);
            left_kg[h] -= kg;
            used_kg += kg;
        }
    }
    double yield = f->fills[o->first_fill].packed_kg_per_kg;
    double least_kg = o->seed_min_kg * yield;
    double seed_kg = fmax(o->seed_min_kg, used_kg / yield);
    double cost = f->p->crops[o->crop].start_cost +
                  seed_kg * f->grades[f->fills[o->first_fill].grade].cost_per_kg +
                  fmax(0, least_kg - used_kg) * f->p->crops[o->crop].waste_cost_per_kg;
    return gain > cost;
}

static bool may_serve(const struct plan_frame *f, const struct plan_option *o, int cell)
{
    for (int h = 0; h < o->harvest_count; h++)
        if (o->harvests[h].node != PLAN_NONE && plan_serves(f, o->harvests[h].node, cell))
            return true;
    return false;
}

static void start_for(struct builder *b, int cell)
{
    for (int i = 0; i < b->f->option_count && b->open_kg[cell] > BUILD_NOTHING_KG; i++) {
        int o = b->option_order[i];
        if (!may_serve(b->f, &b->f->options[o], cell)) continue;
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
