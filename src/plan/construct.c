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
                                              builder_lets_through_kg(b, node, PLAN_NONE));
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
    const struct plan_cell *c = &f->cells[cell];
    if (c->mix > 0 || c->dish != PLAN_NONE) kg = fmin(kg, builder_lets_through_kg(b, node, cell));
    if (kg <= 0) return 0;
    double hold = plan_serve_cost(f, node, cell);
    double spared = fmax(c->shortage_cost_per_kg, c->worth_per_kg) / ratio;
    if (spared <= hold) return 0;
    *gain += kg * (spared - hold);
    *open_kg -= kg / ratio;
    return kg;
}

/* What goes into a dish is wanted by nobody else: it counts only for the dish at hand. And a want
 * counts once, on the day at hand or else on its own. */
static bool counts_for(const struct plan_frame *f, int other, int cell)
{
    const struct plan_cell *x = &f->cells[other], *c = &f->cells[cell];
    if (other == cell || (x->dish != PLAN_NONE && x->dish == c->dish)) return true;
    return x->own == PLAN_NONE && x->want == other && other != c->want;
}

/* Shortage a full chamber would avoid when it is started for the cell, against what it costs. One
 * started for its own crop's wants is not counted on for those of others: they have their own. */
static bool pays(const struct builder *b, int option, int for_cell)
{
    const struct plan_frame *f = b->f;
    const struct plan_option *o = &f->options[option];
    double left_kg[PLAN_PARTS_MAX], gain = 0, used_kg = 0, all_kg = 0;
    full_kg(b, option, left_kg);
    for (int h = 0; h < o->harvest_count; h++)
        all_kg += left_kg[h];
    for (int i = 0; i < f->cell_count && all_kg - used_kg > BUILD_NOTHING_KG; i++) {
        int cell = b->cell_order[i];
        bool is_own = f->cells[cell].crop == o->crop || f->cells[for_cell].crop != o->crop;
        double open_kg = is_own && counts_for(f, cell, for_cell) ? builder_open_kg(b, cell) : 0;
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

/* Chambers of its crop; across: of others that are given in its place. */
static void start_for(struct builder *b, int cell, bool across)
{
    for (int i = 0; i < b->f->option_count && builder_open_kg(b, cell) > BUILD_NOTHING_KG; i++) {
        int o = b->option_order[i];
        if ((b->f->options[o].crop != b->f->cells[cell].crop) != across ||
            !may_serve(b->f, &b->f->options[o], cell))
            continue;
        while (builder_open_kg(b, cell) > BUILD_NOTHING_KG && builder_may_start(b, o) &&
               pays(b, o, cell)) {
            builder_start(b, o);
            if (across)
                builder_serve_across(b, cell);
            else
                builder_serve_from_made(b, cell);
            builder_fill_for(b, o, cell);
        }
    }
}

/* Started chambers filled further, and new ones, for what is in a dish beside its own crop, and
 * then for that; all of it back where it is not worth the starts. spare: another builder. */
static void start_for_dish(struct builder *b, struct builder *spare, struct arena *scratch,
                           int dish)
{
    const struct plan_dish *x = &b->f->dishes[dish];
    if (builder_open_kg(b, x->own) <= BUILD_NOTHING_KG) return;
    builder_copy(spare, b);
    double cost = plan_cost(scratch, b->plan);
    for (int c = x->first; c < x->first + x->count; c++) {
        builder_serve_from_made(b, c);
        builder_fill_started(b, c);
        start_for(b, c, false);
    }
    builder_fill_started(b, x->own);
    start_for(b, x->own, false);
    builder_give_back(b, dish);
    if (plan_cost(scratch, b->plan) >= cost) builder_copy(b, spare);
    arena_clear(scratch);
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

/* Each crop has served its own wants: what is still short may be met by another. */
static void serve_across(struct builder *b)
{
    for (int i = 0; i < b->f->cell_count; i++) {
        int cell = b->cell_order[i];
        if (b->f->cells[cell].swaps == 0) continue;
        builder_serve_across(b, cell);
        builder_fill_across(b, cell);
        start_for(b, cell, true);
    }
}

struct plan *plan_construct(struct arena *a, const struct plan_frame *f)
{
    struct builder *b = builder_new(a, f);
    struct builder *spare = f->dish_count > 0 ? builder_new(a, f) : NULL;
    struct arena scratch;
    arena_init(&scratch, ARENA_LIMIT_DEFAULT);
    keep_taken(b);
    for (int i = 0; i < f->cell_count; i++) {
        int cell = b->cell_order[i];
        if (f->cells[cell].own != PLAN_NONE) continue;
        if (f->cells[cell].dish != PLAN_NONE) {
            builder_serve_dish(b, f->cells[cell].dish);
            start_for_dish(b, spare, &scratch, f->cells[cell].dish);
            continue;
        }
        builder_serve_from_made(b, cell);
        builder_fill_started(b, cell);
        start_for(b, cell, false);
    }
    if (f->has_ties) serve_across(b);
    arena_release(&scratch);
    plan_flows_tidy(b->plan);
    return b->plan;
}
