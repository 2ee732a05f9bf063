#include "plan/strain.h"

#include <math.h>

#include "plan/mix.h"

/* The first step: a limit overstepped by all of itself gets half the dearest price. */
static const double STEP = 0.5;
static const double ROUNDING_KG = 1e-5;

struct strain {
    double *grade_kg, *seed_kg, *bed_kg, *pack_kg; /* by grade; by day */
    double *work;                                  /* work * day_count + day */
    double *ingredient_kg;                         /* ingredient * day_count + day of packing */
};

static double kg(int64_t ug)
{
    return (double)ug * 1e-9;
}

static void add_seed(const struct search *s, struct strain *x)
{
    const struct plan_frame *f = s->f;
    for (int o = 0; o < f->option_count; o++) {
        if (s->counts[o] == 0) continue;
        const struct flow_chamber *c = &s->chambers[o];
        const struct flow *w = s->flows[s->options[o].flow];
        const struct plan_option *y = &f->options[o];
        double room_kg = kg(w->layer_ug[c->layer]);
        double filled = room_kg > 0 ? kg(flow_layer_used_ug(w, c->node, c->layer)) / room_kg : 0;
        double seed_kg =
            s->counts[o] * (y->seed_min_kg + filled * (y->seed_max_kg - y->seed_min_kg));
        x->grade_kg[s->options[o].grade] += seed_kg;
        x->seed_kg[y->day] += seed_kg;
    }
    for (int i = 0; i < f->fixed_count; i++)
        x->seed_kg[f->p->taken[f->fixed[i].taken].day] += f->p->taken[f->fixed[i].taken].seed_kg;
}

static void add_goods(const struct search *s, struct strain *x)
{
    const struct plan_frame *f = s->f;
    for (int k = 0; k < f->p->crop_count; k++) {
        const struct flow *w = search_flow_from(s, k);
        for (int n = 0; w && n < flow_goods_count(w); n++) {
            const struct plan_node *node = &f->nodes[w->frame_nodes[n]];
            if (node->is_stock) continue;
            double used_kg = kg(w->used_ug[n]) * f->unit_kg[node->crop];
            x->pack_kg[node->harvest_day] += used_kg;
            x->bed_kg[node->harvest_day] += used_kg * f->p->crops[node->crop].bed_kg_per_packed_kg;
            for (int i = 0; i < f->p->work_count; i++)
                x->work[i * f->p->day_count + node->harvest_day] +=
                    used_kg * f->p->works[i].per_packed_kg[node->crop];
        }
    }
}

/* What mixes take beyond the crop. */
static void add_mixes(const struct search *s, struct strain *x)
{
    const struct plan_frame *f = s->f;
    for (int k = 0; f->mix_count > 1 && k < f->p->crop_count; k++) {
        const struct flow *w = search_flow_from(s, k);
        for (int i = 0; w && i < w->first_arc[w->node_count]; i++) {
            int node = w->frame_nodes[w->arcs[i].node], cell = w->frame_cells[w->arcs[i].cell];
            if (w->arc_ug[i] <= 0 || node == PLAN_NONE || cell == PLAN_NONE) continue;
            int day = plan_pack_day(f, node);
            if (day == PLAN_NONE) continue;
            const struct plan_mix *mix = &f->mixes[f->cells[cell].mix];
            double used_kg = kg(w->arc_ug[i]) * f->unit_kg[f->cells[cell].crop];
            if (!f->nodes[node].is_stock) x->pack_kg[day] += used_kg * (mix->pack_kg - 1);
            for (int m = 0; m < f->p->ingredient_count; m++)
                x->ingredient_kg[m * f->p->day_count + day] += used_kg * mix->takes[m];
        }
    }
}

/* Of a cell's wants, what the search's flow meets; of those not made already alone. */
static double met_kg(const struct search *s, int cell, bool fresh)
{
    const struct flow *w = s->flows[s->f->cells[cell].crop];
    double kg_met = 0;
    for (int i = 0; i < w->first_arc[w->node_count]; i++) {
        int node = w->frame_nodes[w->arcs[i].node];
        if (node == PLAN_NONE || w->frame_cells[w->arcs[i].cell] != cell) continue;
        if (!fresh || plan_pack_day(s->f, node) != PLAN_NONE) kg_met += kg(w->arc_ug[i]);
    }
    return kg_met * s->f->unit_kg[s->f->cells[cell].crop];
}

/* -> whether the price changed */
static bool step(double *price, double used_kg, double limit_kg, double size)
{
    if (!isfinite(limit_kg)) return false;
    double over = (used_kg - limit_kg) / fmax(limit_kg, 1);
    if (over <= ROUNDING_KG && *price <= 0) return false;
    double next = fmax(0, *price + size * fmax(-1, fmin(1, over)));
    bool changed = next != *price;
    *price = next;
    return changed;
}

/* The most that a packed kg of any crop asks of a work: a price is of one unit of it. */
static double dearest_work(const struct plan_frame *f, int work)
{
    double most = 0;
    for (int k = 0; k < f->p->crop_count; k++)
        most = fmax(most, f->p->works[work].per_packed_kg[k]);
    return most;
}

/* The most of an ingredient that a kg of crop takes. */
static double dearest_mix(const struct plan_frame *f, int ingredient)
{
    double most = 0;
    for (int m = 0; m < f->mix_count; m++)
        most = fmax(most, f->mixes[m].takes[ingredient]);
    return most;
}

/* What is used up to a day is there by then; what is used from a day on may still be used then.
 * Both only on days where the limit is about to change: on others they say nothing more. */
static bool step_ingredient(const struct plan_frame *f, int ingredient, const double *used_kg,
                            double size, double *until, double *from)
{
    const struct plan_problem *p = f->p;
    double sum_kg = 0, all_kg = 0;
    bool changed = false;
    for (int d = 0; d < p->day_count; d++)
        all_kg += used_kg[d];
    for (int d = 0; d < p->day_count; d++) {
        double rest_kg = all_kg - sum_kg;
        sum_kg += used_kg[d];
        double until_kg = plan_ingredient_until(p, ingredient, d);
        if (d + 1 == p->day_count || plan_ingredient_until(p, ingredient, d + 1) > until_kg)
            changed |= step(&until[d], sum_kg, until_kg, size);
        double from_kg = plan_ingredient_from(p, ingredient, d);
        if (d > 0 && plan_ingredient_from(p, ingredient, d - 1) > from_kg)
            changed |= step(&from[d], rest_kg, from_kg, size);
    }
    return changed;
}

/* Whichever crop of a dish is behind the others gets more of what the dish is worth; together they
 * never get more than all of it. */
static bool step_dish(const struct search *s, int dish, double size, struct search_prices *prices)
{
    const struct plan_frame *f = s->f;
    const struct plan_dish *x = &f->dishes[dish];
    double own_kg = met_kg(s, x->own, true), sum = 0;
    double all = f->cells[x->own].shortage_cost_per_kg;
    bool changed = false;
    for (int c = x->first; c < x->first + x->count; c++) {
        const struct plan_cell *cell = &f->cells[c];
        double need_kg = own_kg * cell->each, have_kg = met_kg(s, c, false);
        double behind = (need_kg - have_kg) / fmax(1, fmax(need_kg, have_kg));
        if (fabs(behind) > ROUNDING_KG) {
            prices->with[c] = fmax(0, prices->with[c] + size * behind);
            changed = true;
        }
        sum += prices->with[c] * cell->each;
    }
    for (int c = x->first; sum > all && c < x->first + x->count; c++)
        prices->with[c] *= all / sum;
    return changed;
}

bool strain_price(struct arena *scratch, const struct search *s, int round,
                  struct search_prices *prices)
{
    const struct plan_frame *f = s->f;
    size_t days = (size_t)f->p->day_count;
    struct strain x = {.grade_kg = ARENA_ARRAY(scratch, double, (size_t)f->grade_count + 1),
                       .seed_kg = ARENA_ARRAY(scratch, double, days),
                       .bed_kg = ARENA_ARRAY(scratch, double, days),
                       .pack_kg = ARENA_ARRAY(scratch, double, days),
                       .work = ARENA_ARRAY(scratch, double, (size_t)f->p->work_count *days + 1),
                       .ingredient_kg =
                           ARENA_ARRAY(scratch, double, (size_t)f->p->ingredient_count *days + 1)};
    add_seed(s, &x);
    add_goods(s, &x);
    add_mixes(s, &x);
    double dearest = 0, yield = 0;
    for (int c = 0; c < f->cell_count; c++)
        dearest = fmax(dearest, f->cells[c].shortage_cost_per_kg);
    for (int i = 0; i < f->fill_count; i++)
        yield = fmax(yield, f->fills[i].packed_kg_per_kg);
    double size = STEP * dearest / (1 + 0.5 * round);
    bool changed = false;
    for (int g = 0; g < f->grade_count; g++) {
        double have_kg = 0;
        for (int i = 0; i < f->grades[g].lot_count; i++)
            have_kg += fmax(0, f->lot_kg[f->grades[g].lots[i]]);
        changed |= step(&prices->grade[g], x.grade_kg[g], have_kg, size * yield);
    }
    for (size_t d = 0; d < days; d++) {
        const struct plan_day *day = &f->p->days[d];
        changed |= step(&prices->treat[d], x.seed_kg[d], day->treat_seed_kg, size * yield);
        changed |= step(&prices->soak[d], x.seed_kg[d], day->soak_seed_kg, size * yield);
        changed |=
            step(&prices->bed[d], x.bed_kg[d], fmin(day->harvest_bed_kg, day->wash_bed_kg), size);
        changed |= step(&prices->pack[d], x.pack_kg[d], day->pack_kg, size);
        for (int w = 0; w < f->p->work_count; w++) {
            size_t at = (size_t)w * days + d;
            changed |= step(&prices->work[at], x.work[at], f->p->works[w].limit[d],
                            size / fmax(dearest_work(f, w), 1e-9));
        }
    }
    for (int i = 0; i < f->p->ingredient_count; i++)
        changed |= step_ingredient(
            f, i, &x.ingredient_kg[(size_t)i * days], size / fmax(dearest_mix(f, i), 1e-9),
            &prices->until[(size_t)i * days], &prices->from[(size_t)i * days]);
    for (int i = 0; i < f->dish_count; i++)
        if (f->cells[f->dishes[i].own].want == f->dishes[i].own)
            changed |= step_dish(s, i, size, prices);
    return changed;
}
