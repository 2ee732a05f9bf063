#include "intake_support.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/random.h"

static double between(struct random *r, double low, double high)
{
    return low + (high - low) * (double)random_below(r, 1001) / 1000;
}

static void add_use(struct hall *h, const char *code, int good, int machine, double kg_per_hour,
                    double added, double cost, bool keeps_age)
{
    int u = h->p.use_count++;
    h->needs[u][0] = (struct intake_need){machine, 1 / kg_per_hour};
    h->uses[u] = (struct intake_use){.code = code,
                                     .good = good,
                                     .parts = h->parts[u],
                                     .needs = h->needs[u],
                                     .need_count = 1,
                                     .added_per_kg = added,
                                     .cost_per_kg = cost,
                                     .keeps_age = keeps_age};
}

static void add_part(struct hall *h, int good, double share)
{
    int u = h->p.use_count - 1;
    h->parts[u][h->uses[u].part_count++] = (struct intake_part){good, share};
}

static void make_goods(struct hall *h, struct random *r)
{
    /* keep days and juice density (1.03 kg a litre): of the order of the trade, made up */
    static const struct {
        const char *code;
        int store, keep;
        double room, out;
    } rows[HALL_GOODS] = {{"north", HALL_COLD, 6, 1, 0.03},
                          {"south", HALL_COLD, 4, 1, 0.03},
                          {"first", HALL_COLD, 8, 1, 0.03},
                          {"second", HALL_COLD, 7, 1, 0.03},
                          {"juicing", HALL_COLD, 5, 1, 0.03},
                          {"feed", PLAN_NONE, 1, 0, -0.02},
                          {"raw juice", HALL_TANKS, 1, 0.97, 0.05},
                          {"juice", HALL_TANKS, 3, 0.97, 0.05},
                          {"concentrate", HALL_TANKS, 60, 0.83, 0.05},
                          {"powder", HALL_DRY, 300, 1, 0.1},
                          {"box", HALL_COLD, 9, 1.1, 0.05},
                          {"net", HALL_COLD, 9, 1.1, 0.05},
                          {"bottle", HALL_DRY, 200, 1.2, 0.1}};
    for (int g = 0; g < HALL_GOODS; g++)
        h->goods[g] = (struct intake_good){.code = rows[g].code,
                                           .store = rows[g].store,
                                           .room_per_kg = rows[g].room,
                                           .keep_days = rows[g].keep,
                                           .hold_cost_per_kg_day = 0.002,
                                           .out_cost_per_kg = rows[g].out};
    h->goods[HALL_CONCENTRATE].end_kg_wanted = between(r, 0, 300);
    h->goods[HALL_CONCENTRATE].end_value_per_kg = 0.8;
}

static void make_uses(struct hall *h, struct random *r)
{
    static const int fruit[] = {HALL_NORTH, HALL_SOUTH};
    for (int i = 0; i < 2; i++) {
        double first = between(r, 0.3, 0.5), second = between(r, 0.1, 0.25);
        add_use(h, "sort", fruit[i], HALL_SORT, 900, 0, 0.01, true);
        add_part(h, HALL_FIRST, first);
        add_part(h, HALL_SECOND, second);
        add_part(h, HALL_JUICING, 0.95 - first - second - 0.05);
        add_part(h, HALL_FEED, 0.05);
    }
    add_use(h, "pack boxes", HALL_FIRST, HALL_PACK, 600, 0, 0.02, true);
    add_part(h, HALL_BOX, 0.99);
    add_use(h, "pack nets", HALL_SECOND, HALL_PACK, 500, 0, 0.02, true);
    add_part(h, HALL_NET, 0.98);
    add_use(h, "pack nets of firsts", HALL_FIRST, HALL_PACK, 500, 0, 0.02, true);
    add_part(h, HALL_NET, 0.98);
    add_use(h, "press", HALL_JUICING, HALL_PRESS, 400, 0, 0.03, false);
    add_part(h, HALL_RAW, 0.42);
    add_part(h, HALL_FEED, 0.5);
    add_use(h, "press seconds", HALL_SECOND, HALL_PRESS, 400, 0, 0.03, false);
    add_part(h, HALL_RAW, 0.42);
    add_part(h, HALL_FEED, 0.5);
    add_use(h, "pasteurise", HALL_RAW, HALL_HEAT, 300, 0, 0.02, false);
    add_part(h, HALL_JUICE, 0.99);
    add_use(h, "bottle", HALL_JUICE, HALL_PACK, 400, 0, 0.05, false);
    add_part(h, HALL_BOTTLE, 0.99);
    add_use(h, "evaporate", HALL_JUICE, HALL_EVAPORATE, 200, 0, 0.05, false);
    add_part(h, HALL_CONCENTRATE, 0.2);
    add_use(h, "dry", HALL_CONCENTRATE, HALL_DRYER, 60, 0.71, 0.2, false);
    add_part(h, HALL_POWDER, 1.17);
}

static void make_limits(struct hall *h, struct random *r)
{
    static const char *const machines[] = {"sort", "pack", "press", "heat", "evaporate", "dryer"};
    double cold = between(r, 4000, 15000), tanks = between(r, 500, 2500);
    for (int d = 0; d < HALL_DAYS; d++) {
        h->limits[HALL_COLD][d] = cold;
        h->limits[HALL_TANKS][d] = tanks;
        h->limits[HALL_DRY][d] = INFINITY;
        for (int m = 0; m < HALL_MACHINES; m++)
            h->hours[m][d] = d % 7 == 6 ? 0 : between(r, 2, 9);
    }
    h->stores[HALL_COLD] = (struct intake_store){.code = "cold", .limit = h->limits[HALL_COLD]};
    h->stores[HALL_TANKS] = (struct intake_store){.code = "tanks", .limit = h->limits[HALL_TANKS]};
    h->stores[HALL_DRY] = (struct intake_store){.code = "dry", .limit = h->limits[HALL_DRY]};
    for (int m = 0; m < HALL_MACHINES; m++)
        h->machines[m] = (struct intake_machine){machines[m], h->hours[m]};
}

static void make_fruit(struct hall *h, struct random *r)
{
    static const int kept[] = {HALL_NORTH, HALL_FIRST,       HALL_JUICING,
                               HALL_JUICE, HALL_CONCENTRATE, HALL_BOX};
    for (int i = 0; i < 6; i++)
        h->lots[i] =
            (struct intake_lot){"lot", kept[i], -(int)random_below(r, 8), between(r, 0, 800)};
    h->p.lot_count = 6;
    for (int d = 0; d < HALL_DAYS; d++) {
        if (random_below(r, 3) == 0) continue;
        bool booked = d < 5;
        h->deliveries[h->p.delivery_count++] =
            (struct intake_delivery){"delivery", random_below(r, 2) ? HALL_NORTH : HALL_SOUTH,
                                     d,          between(r, 1000, 5000),
                                     booked,     booked ? 0.2 : 0.02};
    }
    h->offers[0] = (struct intake_offer){"north", HALL_NORTH, 2, 1500, 6000, 0.35};
    h->offers[1] = (struct intake_offer){"south", HALL_SOUTH, 1, 800, INFINITY, 0.45};
    h->p.offer_count = 2;
}

static void make_demand(struct hall *h, struct random *r)
{
    static const int goods[] = {HALL_BOX, HALL_NET, HALL_BOTTLE, HALL_POWDER, HALL_CONCENTRATE};
    static const double net[] = {4, 1, 0.515, 0.25, 20}, cost[] = {2.5, 2, 2.2, 9, 4};
    for (int i = 0; i < 5; i++)
        h->products[i] = (struct intake_product){h->goods[goods[i]].code, goods[i], net[i]};
    h->groups[0] = (struct plan_group){.code = "retail", .remaining_days = 5, .priority = 2};
    h->groups[1] = (struct plan_group){.code = "kitchens", .remaining_days = 1, .priority = 4};
    for (int d = 0; d < HALL_DAYS; d++)
        for (int i = 0; i < 5; i++)
            for (int g = 0; g < 2; g++) {
                double kg = between(r, 0, i < 2 ? 700 : i == 2 ? 250 : 40);
                if (random_below(r, 4) == 0) continue;
                h->lines[h->p.line_count++] =
                    (struct plan_line){.key = random_below(r, 3) ? "order" : NULL,
                                       .product = i,
                                       .group = g,
                                       .day = d,
                                       .pieces = (int64_t)(kg / net[i]),
                                       .shortage_cost_per_kg = cost[i] * (g == 0 ? 1.2 : 1)};
            }
}

void hall_init(struct hall *h, uint64_t seed)
{
    struct random r;
    random_seed(&r, seed);
    memset(h, 0, sizeof *h);
    h->p = (struct intake_problem){.day_count = HALL_DAYS,
                                   .stores = h->stores,
                                   .goods = h->goods,
                                   .machines = h->machines,
                                   .uses = h->uses,
                                   .lots = h->lots,
                                   .deliveries = h->deliveries,
                                   .offers = h->offers,
                                   .products = h->products,
                                   .groups = h->groups,
                                   .lines = h->lines,
                                   .store_count = HALL_STORES,
                                   .good_count = HALL_GOODS,
                                   .machine_count = HALL_MACHINES,
                                   .product_count = 5,
                                   .group_count = 2};
    make_goods(h, &r);
    make_uses(h, &r);
    make_limits(h, &r);
    make_fruit(h, &r);
    make_demand(h, &r);
}

void small_init(struct small *s, int day_count)
{
    memset(s, 0, sizeof *s);
    for (int d = 0; d < day_count; d++)
        s->limit[d] = s->hours[d] = INFINITY;
    s->store = (struct intake_store){.code = "room", .limit = s->limit};
    for (int g = 0; g < 2; g++)
        s->goods[g] = (struct intake_good){
            .code = g ? "pack" : "fruit", .room_per_kg = 1, .keep_days = 2, .out_cost_per_kg = 0.1};
    s->machine = (struct intake_machine){"line", s->hours};
    s->part = (struct intake_part){1, 1};
    s->need = (struct intake_need){0, 1};
    s->use = (struct intake_use){.code = "pack",
                                 .parts = &s->part,
                                 .part_count = 1,
                                 .needs = &s->need,
                                 .need_count = 1,
                                 .keeps_age = true};
    s->product = (struct intake_product){"pack", 1, 1};
    s->group = (struct plan_group){.code = "retail", .priority = 1};
    s->p = (struct intake_problem){.day_count = day_count,
                                   .stores = &s->store,
                                   .store_count = 1,
                                   .goods = s->goods,
                                   .good_count = 2,
                                   .machines = &s->machine,
                                   .machine_count = 1,
                                   .uses = &s->use,
                                   .use_count = 1,
                                   .lots = s->lots,
                                   .deliveries = s->deliveries,
                                   .offers = &s->offer,
                                   .products = &s->product,
                                   .product_count = 1,
                                   .groups = &s->group,
                                   .group_count = 1,
                                   .lines = s->lines};
}

/* The checker: a day at a time, goods by the day they were born. */

enum { BORN_MAX = 400, SHIFT = 320 };
static const double EPS = 5e-3; /* kg, as the solver rounds */

struct walk {
    const struct intake_problem *p;
    const struct intake_frame *f;
    const struct intake_plan *plan;
    double *kg; /* good * BORN_MAX + born + SHIFT */
    double *before;
    double cost, came, gone;
};

static double *at(const struct walk *w, double *kg, int good, int born)
{
    assert_true(born + SHIFT >= 0 && born + SHIFT < BORN_MAX && good < w->p->good_count);
    return &kg[good * BORN_MAX + born + SHIFT];
}

static void arrive(struct walk *w, int day)
{
    const struct intake_problem *p = w->p;
    for (int i = 0; i < p->lot_count && day == 0; i++) {
        const struct intake_lot *l = &p->lots[i];
        if (l->born_day + p->goods[l->good].keep_days < 0) continue;
        *at(w, w->kg, l->good, l->born_day) += l->kg;
        w->came += l->kg;
    }
    for (int i = 0; i < p->delivery_count; i++) {
        const struct intake_delivery *d = &p->deliveries[i];
        double turned = w->plan->turn_kg[i];
        if (d->day != day) continue;
        assert_true(turned >= 0 && turned <= d->kg + EPS);
        *at(w, w->kg, d->good, day) += d->kg - turned;
        w->came += d->kg - turned;
        w->cost += turned * d->turn_cost_per_kg;
    }
    for (int i = 0; i < p->offer_count; i++) {
        const struct intake_offer *o = &p->offers[i];
        double kg = w->plan->buy_kg[i * p->day_count + day], all = 0;
        for (int d = 0; d <= day; d++)
            all += w->plan->buy_kg[i * p->day_count + d];
        assert_true(kg >= 0 && kg <= o->kg_a_day + EPS);
        assert_true(all <= o->kg_in_all + EPS);
        assert_true(kg <= 0 || day >= o->lead_days);
        *at(w, w->kg, o->good, day) += kg;
        w->came += kg;
        w->cost += kg * o->price_per_kg;
    }
}

static void work(struct walk *w, int day)
{
    const struct intake_problem *p = w->p;
    double hours[INTAKE_LIMITS_MAX] = {0};
    for (int u = 0; u < p->use_count; u++)
        for (int b = 0; b < w->f->birth_count; b++) {
            const struct intake_use *use = &p->uses[u];
            double kg = w->plan->use_kg[(u * w->f->birth_count + b) * p->day_count + day];
            int born = w->f->births[b];
            assert_true(kg >= 0);
            if (kg <= 0) continue;
            assert_true(born <= day && day <= born + p->goods[use->good].keep_days);
            *at(w, w->kg, use->good, born) -= kg;
            w->cost += kg * use->cost_per_kg;
            w->came += kg * use->added_per_kg;
            double given = 0;
            for (int k = 0; k < use->part_count; k++) {
                const struct intake_part *part = &use->parts[k];
                int part_born = use->keeps_age ? born : day;
                given += part->share;
                if (part_born + p->goods[part->good].keep_days >= day) {
                    *at(w, w->kg, part->good, part_born) += kg * part->share;
                } else {
                    w->gone += kg * part->share;
                    w->cost += kg * part->share * p->goods[part->good].out_cost_per_kg;
                }
            }
            w->gone += kg * (1 + use->added_per_kg - given);
            for (int k = 0; k < use->need_count; k++)
                hours[use->needs[k].machine] += kg * use->needs[k].hours_per_kg;
        }
    for (int m = 0; m < p->machine_count; m++)
        assert_true(hours[m] <= p->machines[m].hours[day] + 1e-5 * fmax(1, hours[m]));
}

static void sell(struct walk *w, int day, double *met)
{
    const struct intake_problem *p = w->p;
    for (int i = 0; i < p->line_count; i++)
        assert_true(w->f->cell_of_line[i] < w->f->cell_count);
    for (int c = 0; c < w->f->cell_count; c++)
        for (int b = 0; b < w->f->birth_count; b++) {
            const struct intake_cell *cell = &w->f->cells[c];
            double kg = w->plan->sale_kg[c * w->f->birth_count + b];
            int born = w->f->births[b];
            if (cell->day != day || kg <= 0) continue;
            assert_true(born <= day);
            assert_true(born + p->goods[cell->good].keep_days - day >= cell->remaining_days);
            *at(w, w->kg, cell->good, born) -= kg;
            w->gone += kg;
            met[c] += kg;
        }
}

static int tanks_of(double amount, double size)
{
    return amount <= 1e-4 ? 0 : (int)ceil(amount / size - 1e-4);
}

static void stand(struct walk *w, int day)
{
    const struct intake_problem *p = w->p;
    double level[INTAKE_LIMITS_MAX] = {0};
    int tanks[INTAKE_LIMITS_MAX] = {0};
    for (int g = 0; g < p->good_count; g++)
        for (int born = -SHIFT; born <= day; born++) {
            double *kg = at(w, w->kg, g, born), *before = at(w, w->before, g, born);
            for (int b = 0; b < w->f->birth_count; b++)
                if (w->f->births[b] == born) {
                    double out = w->plan->out_kg[(g * w->f->birth_count + b) * p->day_count + day];
                    assert_true(out >= 0);
                    *kg -= out;
                    w->gone += out;
                    w->cost += out * p->goods[g].out_cost_per_kg;
                }
            assert_true(*kg >= -EPS);
            if (born + p->goods[g].keep_days <= day) assert_true(*kg <= EPS);
            w->cost += fmax(0, *kg) * p->goods[g].hold_cost_per_kg_day;
            if (p->goods[g].store != PLAN_NONE) {
                const struct intake_store *s = &p->stores[p->goods[g].store];
                double room = fmax(0, *kg) * p->goods[g].room_per_kg;
                level[p->goods[g].store] += room;
                if (s->cleaned_next_day && day > 0)
                    room = fmax(room, *before * p->goods[g].room_per_kg);
                if (s->tank_size > 0) tanks[p->goods[g].store] += tanks_of(room, s->tank_size);
            }
            *before = *kg;
        }
    for (int s = 0; s < p->store_count; s++) {
        assert_true(level[s] <= p->stores[s].limit[day] + 1e-5 * fmax(1, level[s]));
        if (p->stores[s].tank_size > 0) assert_true(tanks[s] <= p->stores[s].tank_count);
    }
}

static double walk(struct walk *w)
{
    const struct intake_problem *p = w->p;
    double *met = calloc((size_t)w->f->cell_count + 1, sizeof *met);
    double *wanted = calloc((size_t)w->f->cell_count + 1, sizeof *wanted);
    for (int day = 0; day < p->day_count; day++) {
        arrive(w, day);
        work(w, day);
        sell(w, day, met);
        stand(w, day);
    }
    for (int i = 0; i < p->line_count; i++)
        wanted[w->f->cell_of_line[i]] +=
            (double)p->lines[i].pieces * p->products[p->lines[i].product].net_kg;
    for (int c = 0; c < w->f->cell_count; c++) {
        assert_true(met[c] <= wanted[c] + EPS);
        w->cost += fmax(0, wanted[c] - met[c]) * w->f->cells[c].cost_per_kg;
    }
    double standing = 0;
    for (int g = 0; g < p->good_count; g++) {
        double end = 0;
        for (int born = -SHIFT; born < p->day_count; born++) {
            double kg = *at(w, w->kg, g, born);
            standing += kg;
            if (born + p->goods[g].keep_days >= p->day_count) end += kg;
        }
        w->cost -= fmin(end, p->goods[g].end_kg_wanted) * p->goods[g].end_value_per_kg;
    }
    free(met);
    free(wanted);
    return standing;
}

static double walked(const struct intake_problem *p, const struct intake_frame *f,
                     const struct intake_plan *plan, double *out_cost)
{
    struct walk w = {.p = p, .f = f, .plan = plan};
    w.kg = calloc((size_t)p->good_count * BORN_MAX, sizeof *w.kg);
    w.before = calloc((size_t)p->good_count * BORN_MAX, sizeof *w.before);
    double standing = walk(&w);
    free(w.kg);
    free(w.before);
    *out_cost = w.cost;
    return w.came - w.gone - standing;
}

void intake_feasible(const struct intake_problem *p, const struct intake_frame *f,
                     const struct intake_plan *plan)
{
    struct arena a;
    double cost;
    walked(p, f, plan, &cost);
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_true(fabs(intake_cost(&a, plan) - cost) <= 1e-6 * fmax(1, fabs(cost)));
    arena_release(&a);
}

double intake_unexplained(const struct intake_problem *p, const struct intake_frame *f,
                          const struct intake_plan *plan)
{
    double cost;
    return walked(p, f, plan, &cost);
}
