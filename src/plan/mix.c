#include "plan/mix.h"

#include <math.h>

/* Shares this close are alike: well below a gram in a tonne. */
static const double ALIKE = 1e-12;

double plan_takes(const struct plan_problem *p, int ingredient, int product)
{
    return p->ingredients[ingredient].kg_per_piece[product] / plan_piece_kg(p, product);
}

double plan_pack_kg(const struct plan_problem *p, int product)
{
    return p->products[product].net_kg / plan_piece_kg(p, product);
}

/* What the day takes of the lots' left_kg, at most most_kg. -> kg */
static double draw(const struct plan_ingredient *x, double *left_kg, int day, double most_kg)
{
    double got_kg = 0;
    while (got_kg < most_kg) {
        int best = PLAN_NONE;
        for (int i = 0; i < x->lot_count; i++) {
            const struct plan_ingredient_lot *lot = &x->lots[i];
            if (left_kg[i] <= 0 || lot->from_day > day || lot->last_day < day) continue;
            if (best == PLAN_NONE || lot->last_day < x->lots[best].last_day) best = i;
        }
        if (best == PLAN_NONE) break;
        double kg = fmin(most_kg - got_kg, left_kg[best]);
        left_kg[best] = kg < left_kg[best] ? left_kg[best] - kg : 0;
        got_kg += kg;
    }
    return got_kg;
}

double plan_ingredient_left(const struct plan_problem *p, int ingredient, const double *used_kg,
                            int day)
{
    const struct plan_ingredient *x = &p->ingredients[ingredient];
    double left_kg[PLAN_INGREDIENT_LOTS_MAX], got_kg = 0, others_kg = 0;
    for (int i = 0; i < x->lot_count; i++)
        left_kg[i] = x->lots[i].kg;
    for (int d = 0; d < p->day_count; d++) {
        others_kg += used_kg[d];
        got_kg += draw(x, left_kg, d, d == day ? INFINITY : used_kg[d]);
    }
    return fmax(0, got_kg - others_kg);
}

double plan_ingredient_until(const struct plan_problem *p, int ingredient, int day)
{
    const struct plan_ingredient *x = &p->ingredients[ingredient];
    double kg = 0;
    for (int i = 0; i < x->lot_count; i++)
        if (x->lots[i].from_day <= day && x->lots[i].last_day >= 0) kg += x->lots[i].kg;
    return kg;
}

double plan_ingredient_from(const struct plan_problem *p, int ingredient, int day)
{
    const struct plan_ingredient *x = &p->ingredients[ingredient];
    double kg = 0;
    for (int i = 0; i < x->lot_count; i++)
        if (x->lots[i].last_day >= day && x->lots[i].from_day < p->day_count) kg += x->lots[i].kg;
    return kg;
}

static bool alike(double x, double y)
{
    return fabs(x - y) <= ALIKE * fmax(1, fabs(x));
}

static struct plan_mix mix_of(struct plan_frame *f, int product)
{
    const struct plan_problem *p = f->p;
    struct plan_mix m = {plan_pack_kg(p, product),
                         ARENA_ARRAY(f->arena, double, (size_t)p->ingredient_count + 1)};
    for (int i = 0; i < p->ingredient_count; i++)
        m.takes[i] = plan_takes(p, i, product);
    return m;
}

static bool same(const struct plan_frame *f, const struct plan_mix *x, const struct plan_mix *y)
{
    bool all = alike(x->pack_kg, y->pack_kg);
    for (int i = 0; i < f->p->ingredient_count; i++)
        all = all && alike(x->takes[i], y->takes[i]);
    return all;
}

void plan_mixes_make(struct plan_frame *f)
{
    const struct plan_problem *p = f->p;
    f->mixes = ARENA_ARRAY(f->arena, struct plan_mix, (size_t)p->product_count + 2);
    f->mix_of_product = ARENA_ARRAY(f->arena, int, (size_t)p->product_count + 1);
    f->mixes[0] =
        (struct plan_mix){1, ARENA_ARRAY(f->arena, double, (size_t)p->ingredient_count + 1)};
    f->mix_count = 1;
    for (int i = 0; i < p->product_count; i++) {
        struct plan_mix m = mix_of(f, i);
        int at = 0;
        while (at < f->mix_count && !same(f, &f->mixes[at], &m))
            at++;
        if (at == f->mix_count) f->mixes[f->mix_count++] = m;
        f->mix_of_product[i] = at;
    }
    for (int i = 0; i < p->product_count && f->with_mix == 0; i++) {
        if (p->products[i].with_count == 0) continue;
        f->with_mix = f->mix_count++;
        f->mixes[f->with_mix] = (struct plan_mix){0, f->mixes[0].takes};
    }
}

int plan_pack_day(const struct plan_frame *f, int node)
{
    const struct plan_node *n = &f->nodes[node];
    if (n->product != PLAN_NONE) return PLAN_NONE;
    return n->harvest_day > 0 ? n->harvest_day : 0;
}
