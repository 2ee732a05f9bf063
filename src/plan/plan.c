#include "plan/plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "plan/pool.h"

void plan_choose_told(struct plan *plan)
{
    for (int i = 0; i < plan->f->p->running_count; i++)
        plan->choices[i] = plan->f->p->running[i].told;
}

struct plan *plan_new(struct arena *a, const struct plan_frame *f)
{
    struct plan *plan = ARENA_NEW(a, struct plan);
    plan->f = f;
    plan->arena = a;
    plan->counts = ARENA_ARRAY(a, int, (size_t)f->option_count + 1);
    plan->seed_kg = ARENA_ARRAY(a, double, (size_t)f->fill_count + 1);
    plan->end_kg = ARENA_ARRAY(a, double, (size_t)f->node_count + 1);
    plan->choices = ARENA_ARRAY(a, int, (size_t)f->p->running_count + 1);
    plan_choose_told(plan);
    return plan;
}

void plan_flow_add(struct plan *plan, int node, int cell, double kg)
{
    if (plan->flow_count == plan->flow_room) {
        int room = plan->flow_room ? plan->flow_room * 2 : 256;
        struct plan_flow *more = ARENA_ARRAY(plan->arena, struct plan_flow, (size_t)room);
        if (plan->flow_count > 0)
            memcpy(more, plan->flows, (size_t)plan->flow_count * sizeof *more);
        plan->flows = more;
        plan->flow_room = room;
    }
    plan->flows[plan->flow_count++] = (struct plan_flow){node, cell, kg};
}

struct plan *plan_copy(struct arena *a, const struct plan *from)
{
    const struct plan_frame *f = from->f;
    struct plan *plan = plan_new(a, f);
    memcpy(plan->counts, from->counts, (size_t)f->option_count * sizeof *plan->counts);
    memcpy(plan->seed_kg, from->seed_kg, (size_t)f->fill_count * sizeof *plan->seed_kg);
    memcpy(plan->end_kg, from->end_kg, (size_t)f->node_count * sizeof *plan->end_kg);
    if (f->p->running_count > 0)
        memcpy(plan->choices, from->choices, (size_t)f->p->running_count * sizeof *plan->choices);
    for (int i = 0; i < from->flow_count; i++)
        plan_flow_add(plan, from->flows[i].node, from->flows[i].cell, from->flows[i].kg);
    return plan;
}

struct flow_key {
    int node, day, cell;
    double kg;
};

static int by_node_and_day(const void *x, const void *y)
{
    const struct flow_key *a = x, *b = y;
    if (a->node != b->node) return a->node < b->node ? -1 : 1;
    if (a->day != b->day) return a->day < b->day ? -1 : 1;
    return (a->cell > b->cell) - (a->cell < b->cell);
}

void plan_flows_tidy(struct plan *plan)
{
    int count = plan->flow_count;
    struct flow_key *keys = ARENA_ARRAY(plan->arena, struct flow_key, (size_t)count + 1);
    for (int i = 0; i < count; i++) {
        const struct plan_flow *x = &plan->flows[i];
        keys[i] = (struct flow_key){x->node, plan->f->cells[x->cell].day, x->cell, x->kg};
    }
    qsort(keys, (size_t)count, sizeof *keys, by_node_and_day);
    plan->flow_count = 0;
    for (int i = 0; i < count; i++) {
        struct plan_flow *last = plan->flow_count ? &plan->flows[plan->flow_count - 1] : NULL;
        if (last && last->node == keys[i].node && last->cell == keys[i].cell)
            last->kg += keys[i].kg;
        else if (keys[i].kg > 1e-6)
            plan->flows[plan->flow_count++] =
                (struct plan_flow){keys[i].node, keys[i].cell, keys[i].kg};
    }
}

static int grades_of(const struct plan_frame *f, int option)
{
    return f->blends[f->options[option].blend].grade_count;
}

double plan_option_seed_kg(const struct plan *plan, int option)
{
    double kg = 0;
    int first = plan->f->options[option].first_fill;
    for (int i = first; i < first + grades_of(plan->f, option); i++)
        kg += plan->seed_kg[i];
    return kg;
}

double plan_option_packed_kg(const struct plan *plan, int option)
{
    double kg = 0;
    int first = plan->f->options[option].first_fill;
    for (int i = first; i < first + grades_of(plan->f, option); i++)
        kg += plan->seed_kg[i] * plan->f->fills[i].packed_kg_per_kg;
    return kg;
}

static void add_harvests(const struct plan *plan, int option, double *kg)
{
    const struct plan_option *o = &plan->f->options[option];
    double packed_kg = plan_option_packed_kg(plan, option);
    for (int h = 0; h < o->harvest_count; h++)
        if (o->harvests[h].node != PLAN_NONE)
            kg[o->harvests[h].node] += packed_kg * o->harvests[h].share;
}

int plan_chosen(const struct plan *plan, int running)
{
    return plan->f->first_choice[running] + plan->choices[running];
}

double *plan_given_kg(struct arena *a, const struct plan *plan)
{
    const struct plan_frame *f = plan->f;
    double *kg = ARENA_ARRAY(a, double, (size_t)f->node_count + 1);
    for (int n = 0; n < f->node_count; n++)
        kg[n] = f->nodes[n].given_kg;
    for (int i = 0; i < f->p->running_count; i++) {
        if (plan->choices[i] == f->p->running[i].told) continue;
        const struct plan_choice *told = &f->choices[plan_choice_told(f, i)];
        const struct plan_choice *now = &f->choices[plan_chosen(plan, i)];
        if (told->node == PLAN_NONE) continue; /* nothing comes of the lot */
        kg[told->node] = fmax(0, kg[told->node] - told->packed_kg);
        kg[now->node] += now->packed_kg;
    }
    return kg;
}

double *plan_node_kg(struct arena *a, const struct plan *plan)
{
    const struct plan_frame *f = plan->f;
    double *kg = plan_given_kg(a, plan);
    for (int o = 0; o < f->option_count; o++)
        if (plan->counts[o] > 0) add_harvests(plan, o, kg);
    return kg;
}

double *plan_node_used_kg(struct arena *a, const struct plan *plan)
{
    double *kg = ARENA_ARRAY(a, double, (size_t)plan->f->node_count + 1);
    for (int n = 0; n < plan->f->node_count; n++)
        kg[n] = plan->end_kg[n];
    for (int i = 0; i < plan->flow_count; i++)
        kg[plan->flows[i].node] += plan->flows[i].kg;
    return kg;
}

double *plan_cell_met_kg(struct arena *a, const struct plan *plan)
{
    double *kg = ARENA_ARRAY(a, double, (size_t)plan->f->cell_count + 1);
    for (int i = 0; i < plan->flow_count; i++)
        kg[plan->flows[i].cell] +=
            plan->flows[i].kg / plan_serve_ratio(plan->f, plan->flows[i].node, plan->flows[i].cell);
    return kg;
}

/* Of what the option gives, what is harvested after the last day. */
static double standing_share(const struct plan_option *o)
{
    double share = 0;
    for (int h = 0; h < o->harvest_count; h++)
        share += o->harvests[h].node == PLAN_NONE ? o->harvests[h].share : 0;
    return share;
}

double plan_standing_kg(const struct plan *plan, int crop)
{
    const struct plan_frame *f = plan->f;
    double kg = f->fixed_end_kg[crop];
    for (int o = 0; o < f->option_count; o++)
        if (plan->counts[o] > 0 && f->options[o].crop == crop)
            kg += plan_option_packed_kg(plan, o) * standing_share(&f->options[o]);
    double kept_kg = 0;
    for (int n = 0; n < f->node_count; n++)
        if (f->nodes[n].crop == crop) kept_kg += plan->end_kg[n];
    return fmax(0, fmin(kg, f->p->crops[crop].end_kg_wanted - kept_kg));
}

static double wish_cost(const struct plan *plan)
{
    const struct plan_frame *f = plan->f;
    double cost = 0;
    for (int i = 0; i < f->p->running_count; i++)
        if (plan->choices[i] != f->p->running[i].told) cost += f->p->change_cost;
    for (int w = 0; w < f->wish_count; w++) {
        const struct plan_wish *x = &f->wishes[w];
        int kept = 0;
        for (int o = 0; o < f->option_count; o++)
            if (f->options[o].day == x->day && f->options[o].crop == x->crop &&
                f->options[o].way == x->way && f->options[o].pool == x->pool)
                kept += plan->counts[o];
        if (kept < x->count) cost += f->p->change_cost * (x->count - kept);
    }
    return cost;
}

double plan_cost(struct arena *a, const struct plan *plan)
{
    const struct plan_frame *f = plan->f;
    const struct plan_problem *p = f->p;
    double cost = wish_cost(plan);
    for (int o = 0; o < f->option_count; o++)
        cost += plan->counts[o] * p->crops[f->options[o].crop].start_cost;
    for (int i = 0; i < f->fill_count; i++)
        cost += plan->seed_kg[i] * f->grades[f->fills[i].grade].cost_per_kg;
    for (int i = 0; i < plan->flow_count; i++) {
        const struct plan_flow *x = &plan->flows[i];
        cost += x->kg * plan_serve_cost(f, x->node, x->cell);
    }
    double *made = plan_node_kg(a, plan), *used = plan_node_used_kg(a, plan);
    for (int n = 0; n < f->node_count; n++)
        cost += fmax(0, made[n] - used[n]) * p->crops[f->nodes[n].crop].waste_cost_per_kg -
                plan->end_kg[n] * f->nodes[n].end_value;
    double *met = plan_cell_met_kg(a, plan);
    for (int c = 0; c < f->cell_count; c++)
        cost += fmax(0, f->cells[c].kg - met[c]) * f->cells[c].shortage_cost_per_kg;
    for (int k = 0; k < p->crop_count; k++) {
        double fixed_kg = fmin(f->fixed_end_kg[k], p->crops[k].end_kg_wanted);
        cost -= (plan_standing_kg(plan, k) - fixed_kg) * p->crops[k].end_value_per_kg;
    }
    return cost;
}

struct line_order {
    int line, cell;
    bool is_forecast;
};

static int by_cell(const void *x, const void *y)
{
    const struct line_order *a = x, *b = y;
    if (a->cell != b->cell) return a->cell < b->cell ? -1 : 1;
    if (a->is_forecast != b->is_forecast) return a->is_forecast ? 1 : -1;
    return (a->line > b->line) - (a->line < b->line);
}

int plan_sales(struct arena *a, const struct plan *plan, struct plan_sale **out)
{
    const struct plan_frame *f = plan->f;
    const struct plan_problem *p = f->p;
    struct line_order *order = ARENA_ARRAY(a, struct line_order, (size_t)p->line_count + 1);
    int *at = ARENA_ARRAY(a, int, (size_t)f->cell_count + 1);
    int *end = ARENA_ARRAY(a, int, (size_t)f->cell_count + 1);
    double *open_kg = ARENA_ARRAY(a, double, (size_t)p->line_count + 1);
    int count = 0;
    for (int i = 0; i < p->line_count; i++)
        if (f->cell_of_line[i] != PLAN_NONE)
            order[count++] = (struct line_order){i, f->cell_of_line[i], !p->lines[i].key};
    qsort(order, (size_t)count, sizeof *order, by_cell);
    for (int i = 0; i < count; i++) {
        if (i == 0 || order[i - 1].cell != order[i].cell) at[order[i].cell] = i;
        end[order[i].cell] = i + 1;
        open_kg[order[i].line] = plan_line_kg(p, &p->lines[order[i].line]);
    }
    struct plan_sale *sales =
        ARENA_ARRAY(a, struct plan_sale, (size_t)(plan->flow_count + count) + 1);
    int sale_count = 0;
    for (int i = 0; i < plan->flow_count; i++) {
        const struct plan_flow *x = &plan->flows[i];
        const struct plan_serving how = plan_serving(f, x->node, x->cell);
        double kg = x->kg;
        while (kg > 1e-9 && at[x->cell] < end[x->cell]) {
            int line = order[at[x->cell]].line;
            double part = fmin(kg, open_kg[line] * how.kg_per_kg);
            int product =
                how.swap == PLAN_NONE ? p->lines[line].product : p->swaps[how.swap].to_product;
            if (part > 0) sales[sale_count++] = (struct plan_sale){x->node, line, product, part};
            kg -= part;
            open_kg[line] -= part / how.kg_per_kg;
            if (open_kg[line] <= 1e-9) at[x->cell]++;
        }
    }
    *out = sales;
    return sale_count;
}

int *plan_met_days(struct arena *a, const struct plan *plan, const struct plan_sale *sales,
                   int sale_count)
{
    const struct plan_frame *f = plan->f;
    int *days = ARENA_ARRAY(a, int, (size_t)f->p->line_count + 1);
    for (int i = 0; i < f->p->line_count; i++)
        days[i] = f->p->lines[i].day;
    for (int i = 0; i < sale_count; i++) {
        int day = plan_serve_day(f, sales[i].node, f->cell_of_line[sales[i].line]);
        if (day > days[sales[i].line]) days[sales[i].line] = day;
    }
    return days;
}

int64_t *plan_met_pieces(struct arena *a, const struct plan *plan, const struct plan_sale *sales,
                         int sale_count)
{
    const struct plan_problem *p = plan->f->p;
    double *exact = ARENA_ARRAY(a, double, (size_t)p->line_count + 1);
    int64_t *pieces = ARENA_ARRAY(a, int64_t, (size_t)p->line_count + 1);
    for (int i = 0; i < sale_count; i++)
        exact[sales[i].line] += sales[i].kg / plan_piece_kg(p, sales[i].product);
    for (int i = 0; i < p->line_count; i++) {
        /* a plan in kg that meets a line exactly must not lose a piece to rounding */
        pieces[i] = (int64_t)floor(exact[i] * (1 + 1e-7) + 1e-6);
        if (pieces[i] > p->lines[i].pieces) pieces[i] = p->lines[i].pieces;
    }
    return pieces;
}
