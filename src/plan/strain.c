#include "plan/strain.h"

#include <math.h>

/* The first step: a limit overstepped by all of itself gets half the dearest price. */
static const double STEP = 0.5;
static const double ROUNDING_KG = 1e-5;

struct strain {
    double *grade_kg, *seed_kg, *bed_kg, *pack_kg; /* by grade; by day */
    double *work;                                  /* work * day_count + day */
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
        const struct flow *w = s->flows[k];
        for (int n = 0; n + 1 < w->node_count; n++) {
            const struct plan_node *node = &f->nodes[w->frame_nodes[n]];
            if (node->is_stock) continue;
            x->pack_kg[node->harvest_day] += kg(w->used_ug[n]);
            x->bed_kg[node->harvest_day] += kg(w->used_ug[n]) * f->p->crops[k].bed_kg_per_packed_kg;
            for (int i = 0; i < f->p->work_count; i++)
                x->work[i * f->p->day_count + node->harvest_day] +=
                    kg(w->used_ug[n]) * f->p->works[i].per_packed_kg[k];
        }
    }
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

bool strain_price(struct arena *scratch, const struct search *s, int round,
                  struct search_prices *prices)
{
    const struct plan_frame *f = s->f;
    size_t days = (size_t)f->p->day_count;
    struct strain x = {.grade_kg = ARENA_ARRAY(scratch, double, (size_t)f->grade_count + 1),
                       .seed_kg = ARENA_ARRAY(scratch, double, days),
                       .bed_kg = ARENA_ARRAY(scratch, double, days),
                       .pack_kg = ARENA_ARRAY(scratch, double, days),
                       .work = ARENA_ARRAY(scratch, double, (size_t)f->p->work_count *days + 1)};
    add_seed(s, &x);
    add_goods(s, &x);
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
    return changed;
}
