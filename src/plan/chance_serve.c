#include <math.h>

#include "plan/chance_inner.h"
#include "plan/mix.h"

static const double NOTHING_KG = CHANCE_NOTHING_KG;

/* Most kg of crop that the ingredients of the product are there for on the day. */
static double ingredients_for(const struct playing *x, int product, int day)
{
    const struct plan_problem *p = x->p;
    double kg = INFINITY;
    for (int i = 0; i < p->ingredient_count; i++) {
        double takes = plan_takes(p, i, product);
        const double *used_kg = &x->ingredient_kg[i * p->day_count];
        if (takes > 0) kg = fmin(kg, plan_ingredient_left(p, i, used_kg, day) / takes);
    }
    return kg;
}

/* Takes kg of goods for a product as far as its harvest day's limits go; of a dish of several crops
 * as far as the day would process the others with it, too. -> kg */
static double process(struct playing *x, const struct goods *g, int product, double kg)
{
    const struct plan_problem *p = x->p;
    if (g->product != PLAN_NONE || g->day >= p->day_count) return kg;
    int packed_on = g->day > 0 ? g->day : 0;
    kg = fmin(kg, ingredients_for(x, product, packed_on));
    if (!g->is_here) {
        struct plan_day *day = &x->left[packed_on];
        double bed = p->crops[g->crop].bed_kg_per_packed_kg, pack = plan_pack_kg(p, product);
        double all = bed;
        for (int i = 0; i < p->products[product].with_count; i++) {
            const struct plan_with *with = &p->products[product].with[i];
            all += p->crops[with->crop].bed_kg_per_packed_kg * with->kg / plan_piece_kg(p, product);
        }
        kg = fmin(kg, fmin(day->pack_kg / pack, fmin(day->harvest_bed_kg, day->wash_bed_kg) / all));
        if (kg <= 0) return 0;
        day->pack_kg -= kg * pack;
        day->harvest_bed_kg -= kg * bed;
        day->wash_bed_kg -= kg * bed;
    }
    for (int i = 0; kg > 0 && i < p->ingredient_count; i++)
        x->ingredient_kg[i * p->day_count + packed_on] += kg * plan_takes(p, i, product);
    return kg;
}

static bool suits(const struct goods *g, const struct asked *w, int product, int oldest_day,
                  int day)
{
    if (g->kg <= NOTHING_KG || g->day < oldest_day) return false;
    if (g->product != PLAN_NONE && g->product != product) return false;
    int ready = g->is_retested ? g->again_day[w->market] : g->once_day[w->market];
    return (g->markets & 1U << w->market) && ready < PLAN_NEVER && ready + g->delay_days <= day;
}

/* What another crop's goods, harvested by the day of packing, let into a dish. takes: they are
 * taken, and what they were kept until then adds to the cost. -> kg of it, at most most_kg */
static double with_kg(struct playing *x, const struct asked *w, int crop, int day, int packed_on,
                      double most_kg, bool takes, double *cost)
{
    const struct plan_crop *c = &x->p->crops[crop];
    double got = 0, of_day = 0;
    int last = -1;
    for (int i = x->first_of_crop[crop]; i < x->first_of_crop[crop + 1] && got < most_kg; i++) {
        struct goods *g = &x->goods[x->by_age[i]];
        if (g->day > packed_on) break;
        if (!suits(g, w, PLAN_NONE, w->oldest_day + (day - w->day), day)) continue;
        struct plan_day *left = &x->left[g->day > 0 ? g->day : 0];
        if (g->day != last) of_day = fmin(left->harvest_bed_kg, left->wash_bed_kg);
        last = g->day;
        double kg = fmin(g->kg, most_kg - got);
        if (!g->is_here) kg = fmax(0, fmin(kg, of_day / c->bed_kg_per_packed_kg));
        if (!g->is_here) of_day -= kg * c->bed_kg_per_packed_kg;
        got += kg;
        if (!takes) continue;
        g->kg -= kg;
        *cost += kg * (day - g->day) * c->hold_cost_per_kg_day;
        if (g->is_here) continue;
        left->harvest_bed_kg -= kg * c->bed_kg_per_packed_kg;
        left->wash_bed_kg -= kg * c->bed_kg_per_packed_kg;
    }
    return got;
}

/* Of the own crop, as far as the others in the dish are there when it is packed. */
static double as_the_others_go(struct playing *x, const struct asked *w, int product, int day,
                               int packed_on, double kg)
{
    const struct plan_product *y = &x->p->products[product];
    for (int i = 0; i < y->with_count; i++) {
        double each = y->with[i].kg / w->piece_kg, none = 0;
        kg = fmin(kg,
                  with_kg(x, w, y->with[i].crop, day, packed_on, kg * each, false, &none) / each);
    }
    return kg;
}

/* Goods that go as a product on the day; adds the cost of what was kept until then. -> kg given */
static double serve_as(struct playing *x, const struct asked *w, int product, int day,
                       double want_kg, double *cost)
{
    double got = 0;
    const struct plan_product *ordered = &x->p->products[x->p->lines[w->line].product];
    const struct plan_product *given = &x->p->products[product];
    int oldest_day = w->oldest_day + ordered->life_days - given->life_days + (day - w->day);
    int crop = given->crop;
    for (int i = x->first_of_crop[crop];
         i < x->first_of_crop[crop + 1] && want_kg - got > NOTHING_KG; i++) {
        struct goods *g = &x->goods[x->by_age[i]];
        if (g->day > day) break;
        if (!suits(g, w, product, oldest_day, day)) continue;
        int with = g->product == PLAN_NONE ? given->with_count : 0,
            packed_on = g->day > 0 ? g->day : 0;
        double kg = fmin(g->kg, want_kg - got);
        if (with > 0) kg = as_the_others_go(x, w, product, day, packed_on, kg);
        kg = process(x, g, product, kg);
        for (int k = 0; k < with; k++)
            with_kg(x, w, given->with[k].crop, day, packed_on, kg * given->with[k].kg / w->piece_kg,
                    true, cost);
        g->kg -= kg;
        got += kg;
        *cost += kg * (day - g->day) * x->p->crops[crop].hold_cost_per_kg_day;
    }
    return got;
}

/* -> kg of what was ordered that are served; got: of them already */
static double serve_instead(struct playing *x, const struct asked *w, int day, double got,
                            bool across, double *cost)
{
    const struct plan_problem *p = x->p;
    double want_kg = w->left_kg;
    for (int s = 0; s < p->swap_count && want_kg - got > NOTHING_KG; s++) {
        int given = p->swaps[s].to_product;
        if (!(w->swaps >> s & 1) || (p->products[given].crop != w->crop) != across) continue;
        double ratio = plan_piece_kg(p, given) / w->piece_kg;
        double shortage = p->lines[w->line].shortage_cost_per_kg;
        if (p->swaps[s].cost_per_kg * ratio > shortage) continue; /* rather short */
        double kg = serve_as(x, w, given, day, (want_kg - got) * ratio, cost);
        *cost += kg * p->swaps[s].cost_per_kg;
        got += kg / ratio;
    }
    return got;
}

double chance_serve(struct playing *x, const struct asked *w, int day, double *cost)
{
    double got = serve_as(x, w, x->p->lines[w->line].product, day, w->left_kg, cost);
    got = serve_instead(x, w, day, got, false, cost);
    *cost += got * (day - w->day) * w->late_cost_per_kg_day;
    return got;
}

double chance_serve_across(struct playing *x, const struct asked *w, int day, double *cost)
{
    double got = serve_instead(x, w, day, 0, true, cost);
    *cost += got * (day - w->day) * w->late_cost_per_kg_day;
    return got;
}
