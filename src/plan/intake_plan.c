#include "plan/intake_plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"

#define ROUNDING_KG 1e-7
/* A piece is whole from a ten-thousandth below: sums of kg are not exact. */
#define PIECE_ROUNDING 1e-4

static int by_day(const void *a, const void *b)
{
    int x = *(const int *)a, y = *(const int *)b;
    return (x > y) - (x < y);
}

static void find_births(struct arena *a, struct intake_frame *f)
{
    const struct intake_problem *p = f->p;
    f->births = ARENA_ARRAY(a, int, (size_t)(p->lot_count + p->day_count + 1));
    int n = 0;
    for (int i = 0; i < p->lot_count; i++) {
        const struct intake_lot *l = &p->lots[i];
        if (l->born_day < 0 && l->born_day + p->goods[l->good].keep_days >= 0)
            f->births[n++] = l->born_day;
    }
    qsort(f->births, (size_t)n, sizeof *f->births, by_day);
    int kept = 0;
    for (int i = 0; i < n; i++)
        if (kept == 0 || f->births[kept - 1] != f->births[i]) f->births[kept++] = f->births[i];
    for (int d = 0; d < p->day_count; d++)
        f->births[kept++] = d;
    f->birth_count = kept;
}

int intake_birth(const struct intake_frame *f, int day)
{
    int low = 0, high = f->birth_count - 1;
    while (low < high) {
        int middle = (low + high) / 2;
        if (f->births[middle] < day)
            low = middle + 1;
        else
            high = middle;
    }
    CHECK(f->births[low] == day);
    return low;
}

int intake_node(const struct intake_frame *f, int good, int birth)
{
    return good * f->birth_count + birth;
}

static void span_nodes(struct arena *a, struct intake_frame *f)
{
    const struct intake_problem *p = f->p;
    f->node_count = p->good_count * f->birth_count;
    size_t count = (size_t)f->node_count + 1;
    f->first_day = ARENA_ARRAY(a, int, count);
    f->last_day = ARENA_ARRAY(a, int, count);
    f->can_be = ARENA_ARRAY(a, bool, count);
    f->given_kg = ARENA_ARRAY(a, double, count);
    for (int n = 0; n < f->node_count; n++) {
        int born = f->births[n % f->birth_count];
        int end = born + p->goods[n / f->birth_count].keep_days;
        f->first_day[n] = born > 0 ? born : 0;
        f->last_day[n] = end < p->day_count - 1 ? end : p->day_count - 1;
    }
}

bool intake_usable(const struct intake_frame *f, int use, int birth, int day)
{
    int node = intake_node(f, f->p->uses[use].good, birth);
    return f->can_be[node] && day >= f->first_day[node] && day <= f->last_day[node];
}

int intake_given(const struct intake_frame *f, int use, int part, int birth, int day)
{
    const struct intake_use *u = &f->p->uses[use];
    int born = u->keeps_age ? birth : intake_birth(f, day);
    int node = intake_node(f, u->parts[part].good, born);
    return day <= f->last_day[node] ? node : PLAN_NONE;
}

/* What could be born at all: lots, deliveries, offers, and what uses make of them. */
static void find_nodes(struct intake_frame *f)
{
    const struct intake_problem *p = f->p;
    for (int i = 0; i < p->lot_count; i++) {
        const struct intake_lot *l = &p->lots[i];
        if (l->born_day + p->goods[l->good].keep_days < 0) continue;
        int node = intake_node(f, l->good, intake_birth(f, l->born_day));
        f->given_kg[node] += l->kg;
        f->can_be[node] = true;
    }
    for (int i = 0; i < p->delivery_count; i++)
        f->can_be[intake_node(f, p->deliveries[i].good, intake_birth(f, p->deliveries[i].day))] =
            true;
    for (int i = 0; i < p->offer_count; i++)
        for (int d = p->offers[i].lead_days; d < p->day_count; d++)
            f->can_be[intake_node(f, p->offers[i].good, intake_birth(f, d))] = true;
    for (bool more = true; more;) {
        more = false;
        for (int u = 0; u < p->use_count; u++)
            for (int b = 0; b < f->birth_count; b++)
                for (int d = 0; d < p->day_count; d++) {
                    if (!intake_usable(f, u, b, d)) continue;
                    for (int k = 0; k < p->uses[u].part_count; k++) {
                        int node = intake_given(f, u, k, b, d);
                        if (node == PLAN_NONE || f->can_be[node]) continue;
                        f->can_be[node] = more = true;
                    }
                }
    }
}

static void find_cells(struct arena *a, struct intake_frame *f)
{
    const struct intake_problem *p = f->p;
    f->cells = ARENA_ARRAY(a, struct intake_cell, (size_t)p->line_count + 1);
    f->cell_of_line = ARENA_ARRAY(a, int, (size_t)p->line_count + 1);
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *l = &p->lines[i];
        struct intake_cell x = {.good = p->products[l->product].good,
                                .day = l->day,
                                .remaining_days = p->groups[l->group].remaining_days,
                                .cost_per_kg = l->shortage_cost_per_kg};
        int c = 0;
        while (c < f->cell_count && !(f->cells[c].good == x.good && f->cells[c].day == x.day &&
                                      f->cells[c].remaining_days == x.remaining_days &&
                                      f->cells[c].cost_per_kg >= x.cost_per_kg &&
                                      f->cells[c].cost_per_kg <= x.cost_per_kg))
            c++;
        if (c == f->cell_count) f->cells[f->cell_count++] = x;
        f->cells[c].kg += intake_line_kg(p, l);
        f->cell_of_line[i] = c;
    }
}

struct intake_frame *intake_frame_make(struct arena *a, const struct intake_problem *p)
{
    struct intake_frame *f = ARENA_NEW(a, struct intake_frame);
    f->p = p;
    find_births(a, f);
    span_nodes(a, f);
    find_nodes(f);
    find_cells(a, f);
    return f;
}

bool intake_ends(const struct intake_frame *f, int node)
{
    return f->births[node % f->birth_count] + f->p->goods[node / f->birth_count].keep_days <
           f->p->day_count;
}

bool intake_serves(const struct intake_frame *f, int node, int cell)
{
    const struct intake_cell *c = &f->cells[cell];
    int born = f->births[node % f->birth_count];
    return f->can_be[node] && node / f->birth_count == c->good && born <= c->day &&
           born + f->p->goods[c->good].keep_days - c->day >= c->remaining_days;
}

struct intake_plan *intake_plan_new(struct arena *a, const struct intake_frame *f)
{
    const struct intake_problem *p = f->p;
    struct intake_plan *plan = ARENA_NEW(a, struct intake_plan);
    size_t days = (size_t)p->day_count, births = (size_t)f->birth_count;
    plan->f = f;
    plan->use_kg = ARENA_ARRAY(a, double, (size_t)p->use_count *births *days + 1);
    plan->sale_kg = ARENA_ARRAY(a, double, (size_t)f->cell_count *births + 1);
    plan->buy_kg = ARENA_ARRAY(a, double, (size_t)p->offer_count *days + 1);
    plan->turn_kg = ARENA_ARRAY(a, double, (size_t)p->delivery_count + 1);
    plan->out_kg = ARENA_ARRAY(a, double, (size_t)f->node_count *days + 1);
    return plan;
}

static void add_uses(const struct intake_plan *plan, double *flow)
{
    const struct intake_frame *f = plan->f;
    int days = f->p->day_count;
    for (int u = 0; u < f->p->use_count; u++)
        for (int b = 0; b < f->birth_count; b++)
            for (int d = 0; d < days; d++) {
                double kg = plan->use_kg[(u * f->birth_count + b) * days + d];
                if (!(kg > 0)) continue;
                flow[intake_node(f, f->p->uses[u].good, b) * days + d] -= kg;
                for (int k = 0; k < f->p->uses[u].part_count; k++) {
                    int node = intake_given(f, u, k, b, d);
                    if (node != PLAN_NONE)
                        flow[node * days + d] += kg * f->p->uses[u].parts[k].share;
                }
            }
}

double *intake_stock(struct arena *a, const struct intake_plan *plan)
{
    const struct intake_frame *f = plan->f;
    const struct intake_problem *p = f->p;
    int days = p->day_count;
    double *flow = ARENA_ARRAY(a, double, (size_t)(f->node_count * days) + 1);
    for (int n = 0; n < f->node_count; n++)
        flow[n * days] += f->given_kg[n];
    for (int i = 0; i < p->delivery_count; i++) {
        const struct intake_delivery *d = &p->deliveries[i];
        flow[intake_node(f, d->good, intake_birth(f, d->day)) * days + d->day] +=
            d->kg - plan->turn_kg[i];
    }
    for (int i = 0; i < p->offer_count; i++)
        for (int d = 0; d < days; d++)
            flow[intake_node(f, p->offers[i].good, intake_birth(f, d)) * days + d] +=
                plan->buy_kg[i * days + d];
    add_uses(plan, flow);
    for (int c = 0; c < f->cell_count; c++)
        for (int b = 0; b < f->birth_count; b++)
            flow[intake_node(f, f->cells[c].good, b) * days + f->cells[c].day] -=
                plan->sale_kg[c * f->birth_count + b];
    for (int n = 0; n < f->node_count; n++)
        for (int d = 0; d < days; d++)
            flow[n * days + d] += (d > 0 ? flow[n * days + d - 1] : 0) - plan->out_kg[n * days + d];
    return flow;
}

void intake_let_go(struct arena *a, struct intake_plan *plan)
{
    const struct intake_frame *f = plan->f;
    int days = f->p->day_count;
    const double *stock = intake_stock(a, plan);
    for (int n = 0; n < f->node_count; n++) {
        int last = f->last_day[n];
        if (last < f->first_day[n] || !intake_ends(f, n)) continue;
        double left = stock[n * days + last];
        if (left > ROUNDING_KG) plan->out_kg[n * days + last] += left;
    }
}

int intake_tanks(const struct intake_store *s, double amount)
{
    return amount <= 1e-6 * s->tank_size ? 0 : (int)ceil(amount / s->tank_size - 1e-6);
}

double *intake_levels(struct arena *a, const struct intake_plan *plan, const double *stock,
                      int *tanks)
{
    const struct intake_frame *f = plan->f;
    const struct intake_problem *p = f->p;
    int days = p->day_count;
    double *level = ARENA_ARRAY(a, double, (size_t)(p->store_count * days) + 1);
    for (int n = 0; n < f->node_count; n++) {
        const struct intake_good *g = &p->goods[n / f->birth_count];
        if (g->store == PLAN_NONE) continue;
        const struct intake_store *s = &p->stores[g->store];
        for (int d = 0; d < days; d++) {
            double room = fmax(0, stock[n * days + d]) * g->room_per_kg;
            level[g->store * days + d] += room;
            if (!tanks || !(s->tank_size > 0)) continue;
            double before = d > 0 && s->cleaned_next_day
                                ? fmax(0, stock[n * days + d - 1]) * g->room_per_kg
                                : 0;
            tanks[g->store * days + d] += intake_tanks(s, fmax(room, before));
        }
    }
    return level;
}

double *intake_hours(struct arena *a, const struct intake_plan *plan)
{
    const struct intake_frame *f = plan->f;
    int days = f->p->day_count;
    double *hours = ARENA_ARRAY(a, double, (size_t)(f->p->machine_count * days) + 1);
    for (int u = 0; u < f->p->use_count; u++)
        for (int k = 0; k < f->p->uses[u].need_count; k++) {
            const struct intake_need *need = &f->p->uses[u].needs[k];
            for (int b = 0; b < f->birth_count; b++)
                for (int d = 0; d < days; d++)
                    hours[need->machine * days + d] +=
                        plan->use_kg[(u * f->birth_count + b) * days + d] * need->hours_per_kg;
        }
    return hours;
}

double *intake_end_kg(struct arena *a, const struct intake_plan *plan, const double *stock)
{
    const struct intake_frame *f = plan->f;
    int days = f->p->day_count;
    double *end = ARENA_ARRAY(a, double, (size_t)f->p->good_count + 1);
    for (int n = 0; n < f->node_count; n++)
        if (!intake_ends(f, n)) end[n / f->birth_count] += fmax(0, stock[n * days + days - 1]);
    return end;
}

/* What a use gives that is too old already. */
static double too_old_cost(const struct intake_frame *f, int use, int birth, int day)
{
    double cost = 0;
    for (int k = 0; k < f->p->uses[use].part_count; k++)
        if (intake_given(f, use, k, birth, day) == PLAN_NONE)
            cost += f->p->uses[use].parts[k].share *
                    f->p->goods[f->p->uses[use].parts[k].good].out_cost_per_kg;
    return cost;
}

static double work_cost(const struct intake_plan *plan)
{
    const struct intake_frame *f = plan->f;
    int days = f->p->day_count;
    double cost = 0;
    for (int u = 0; u < f->p->use_count; u++)
        for (int b = 0; b < f->birth_count; b++)
            for (int d = 0; d < days; d++) {
                double kg = plan->use_kg[(u * f->birth_count + b) * days + d];
                if (kg > 0) cost += kg * (f->p->uses[u].cost_per_kg + too_old_cost(f, u, b, d));
            }
    return cost;
}

double intake_cost(struct arena *a, const struct intake_plan *plan)
{
    const struct intake_frame *f = plan->f;
    const struct intake_problem *p = f->p;
    int days = p->day_count;
    const double *stock = intake_stock(a, plan), *end = intake_end_kg(a, plan, stock),
                 *met = intake_met_kg(a, plan);
    double cost = work_cost(plan);
    for (int i = 0; i < p->offer_count; i++)
        for (int d = 0; d < days; d++)
            cost += plan->buy_kg[i * days + d] * p->offers[i].price_per_kg;
    for (int i = 0; i < p->delivery_count; i++)
        cost += plan->turn_kg[i] * p->deliveries[i].turn_cost_per_kg;
    for (int n = 0; n < f->node_count; n++)
        for (int d = 0; d < days; d++) {
            const struct intake_good *g = &p->goods[n / f->birth_count];
            cost += fmax(0, stock[n * days + d]) * g->hold_cost_per_kg_day +
                    plan->out_kg[n * days + d] * g->out_cost_per_kg;
        }
    for (int c = 0; c < f->cell_count; c++)
        cost += fmax(0, f->cells[c].kg - met[c]) * f->cells[c].cost_per_kg;
    for (int g = 0; g < p->good_count; g++)
        cost -= fmin(end[g], p->goods[g].end_kg_wanted) * p->goods[g].end_value_per_kg;
    return cost;
}

static double over(double used, double limit)
{
    return isfinite(limit) ? fmax(0, used - limit) / fmax(1, limit) : 0;
}

double intake_breach(struct arena *a, const struct intake_plan *plan)
{
    const struct intake_frame *f = plan->f;
    const struct intake_problem *p = f->p;
    int days = p->day_count;
    const double *stock = intake_stock(a, plan), *hours = intake_hours(a, plan),
                 *met = intake_met_kg(a, plan);
    int *tanks = ARENA_ARRAY(a, int, (size_t)(p->store_count * days) + 1);
    const double *level = intake_levels(a, plan, stock, tanks);
    double worst = 0;
    for (int n = 0; n < f->node_count * days; n++)
        worst = fmax(worst, -stock[n]);
    for (int n = 0; n < f->node_count; n++)
        for (int d = f->last_day[n] < 0 ? 0 : f->last_day[n]; d < days && intake_ends(f, n); d++)
            worst = fmax(worst, stock[n * days + d]);
    for (int s = 0; s < p->store_count; s++)
        for (int d = 0; d < days; d++) {
            worst = fmax(worst, over(level[s * days + d], p->stores[s].limit[d]));
            if (p->stores[s].tank_size > 0)
                worst = fmax(worst, tanks[s * days + d] - p->stores[s].tank_count);
        }
    for (int m = 0; m < p->machine_count; m++)
        for (int d = 0; d < days; d++)
            worst = fmax(worst, over(hours[m * days + d], p->machines[m].hours[d]));
    for (int c = 0; c < f->cell_count; c++)
        worst = fmax(worst, over(met[c], f->cells[c].kg));
    return worst;
}

double *intake_met_kg(struct arena *a, const struct intake_plan *plan)
{
    const struct intake_frame *f = plan->f;
    double *met = ARENA_ARRAY(a, double, (size_t)f->cell_count + 1);
    for (int c = 0; c < f->cell_count; c++)
        for (int b = 0; b < f->birth_count; b++)
            met[c] += plan->sale_kg[c * f->birth_count + b];
    return met;
}

int64_t *intake_met_pieces(struct arena *a, const struct intake_plan *plan)
{
    const struct intake_frame *f = plan->f;
    const struct intake_problem *p = f->p;
    double *left = intake_met_kg(a, plan);
    int64_t *met = ARENA_ARRAY(a, int64_t, (size_t)p->line_count + 1);
    for (int forecast = 0; forecast < 2; forecast++)
        for (int i = 0; i < p->line_count; i++) {
            const struct plan_line *l = &p->lines[i];
            if ((l->key == NULL) != (forecast == 1)) continue;
            double net = p->products[l->product].net_kg, *kg = &left[f->cell_of_line[i]];
            int64_t most = (int64_t)floor(fmax(0, *kg) / net + PIECE_ROUNDING);
            met[i] = most < l->pieces ? most : l->pieces;
            *kg -= (double)met[i] * net;
        }
    return met;
}
