#include "plan/serve.h"

#include "base/check.h"

/* The day goods leave for the cell, of which it takes those harvested on oldest_day or later. */
static int leaving_day(const struct plan_frame *f, const struct plan_node *n,
                       const struct plan_cell *c, int oldest_day)
{
    if (n->harvest_day < oldest_day) return PLAN_NEVER;
    int day = plan_node_ready_day(n, c->market); /* not before its harvest */
    day = plan_open_day(f->p, day < c->day ? c->day : day);
    bool in_time = day <= c->day + c->late_days && day < f->p->day_count;
    return in_time && n->harvest_day >= oldest_day + (day - c->day) ? day : PLAN_NEVER;
}

/* What another life than that of what is wanted makes of the oldest harvest day. */
static int oldest_by_swap(const struct plan_frame *f, const struct plan_cell *c, int swap)
{
    const struct plan_swap *x = &f->p->swaps[swap];
    return c->oldest_harvest_day + f->p->products[x->from_product].life_days -
           f->p->products[x->to_product].life_days;
}

static struct plan_serving serving_by_swap(const struct plan_frame *f, const struct plan_node *n,
                                           const struct plan_cell *c)
{
    struct plan_serving best = {PLAN_NEVER, PLAN_NONE, 1};
    for (uint32_t left = c->swaps; left != 0; left &= left - 1) {
        int i = __builtin_ctz(left);
        const struct plan_swap *x = &f->p->swaps[i];
        if (f->p->products[x->to_product].crop != n->crop ||
            (n->product != PLAN_NONE && n->product != x->to_product))
            continue;
        int day = leaving_day(f, n, c, oldest_by_swap(f, c, i));
        if (day == PLAN_NEVER) continue;
        if (best.swap != PLAN_NONE && x->cost_per_kg >= f->p->swaps[best.swap].cost_per_kg)
            continue;
        best = (struct plan_serving){
            day, i, f->p->products[x->to_product].net_kg / f->p->products[x->from_product].net_kg};
    }
    return best;
}

struct plan_serving plan_serving(const struct plan_frame *f, int node, int cell)
{
    const struct plan_node *n = &f->nodes[node];
    const struct plan_cell *c = &f->cells[cell];
    struct plan_serving x = {PLAN_NEVER, PLAN_NONE, 1};
    if (n->harvest_day > c->day + c->late_days) return x; /* most are harvested too late */
    if (n->crop == c->crop && (n->product == PLAN_NONE || n->product == c->product))
        x.day = leaving_day(f, n, c, c->oldest_harvest_day);
    return x.day != PLAN_NEVER || c->swaps == 0 ? x : serving_by_swap(f, n, c);
}

int plan_serve_day(const struct plan_frame *f, int node, int cell)
{
    return plan_serving(f, node, cell).day;
}

double plan_serve_ratio(const struct plan_frame *f, int node, int cell)
{
    return f->cells[cell].swaps == 0 ? 1 : plan_serving(f, node, cell).kg_per_kg;
}

int plan_cell_oldest_day(const struct plan_frame *f, const struct plan_cell *c, int crop)
{
    int oldest = crop == c->crop ? c->oldest_harvest_day : PLAN_NEVER;
    for (int i = 0; i < f->p->swap_count; i++)
        if (c->swaps >> i & 1 && f->p->products[f->p->swaps[i].to_product].crop == crop &&
            oldest_by_swap(f, c, i) < oldest)
            oldest = oldest_by_swap(f, c, i);
    return oldest;
}

int plan_first_cell(const struct plan_frame *f, int node, int want)
{
    int cell = want;
    while (cell != PLAN_NONE && !plan_serves(f, node, cell))
        cell = f->cells[cell].later;
    return cell;
}

bool plan_serves(const struct plan_frame *f, int node, int cell)
{
    return plan_serve_day(f, node, cell) != PLAN_NEVER;
}

double plan_serve_cost(const struct plan_frame *f, int node, int cell)
{
    struct plan_serving x = plan_serving(f, node, cell);
    CHECK(x.day != PLAN_NEVER);
    const struct plan_node *n = &f->nodes[node];
    const struct plan_cell *c = &f->cells[cell];
    double cost = f->p->crops[n->crop].hold_cost_per_kg_day * (x.day - n->harvest_day) +
                  c->late_cost_per_kg_day * (x.day - c->day) / x.kg_per_kg + c->late_cost_per_kg;
    return x.swap == PLAN_NONE ? cost : cost + f->p->swaps[x.swap].cost_per_kg;
}
