#include "plan/plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "plan/dish.h"
#include "plan/mix.h"
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
        kg[plan->f->cells[plan->flows[i].cell].want] +=
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
        if (f->cells[c].want == c)
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

struct sharing {
    const struct plan *plan;
    struct line_order *order;
    int *first, *at, *end;       /* by cell: its lines in order */
    double *open_kg, *packed_kg; /* by line: not met; of its own crop, packed by the plan */
    int *flows;                  /* in the order in which they are shared out */
    struct plan_sale *sales;
    int sale_count;
};

/* Those of a dish of several crops in the order of packing, so that each line's own crop finds the
 * others in time. */
static void order_flows(struct arena *a, struct sharing *s)
{
    const struct plan_frame *f = s->plan->f;
    int count = 0, last = f->dish_count > 0 ? f->p->day_count - 1 : PLAN_NONE;
    s->flows = ARENA_ARRAY(a, int, (size_t)s->plan->flow_count + 1);
    for (int day = PLAN_NONE; day <= last; day++)
        for (int i = 0; i < s->plan->flow_count; i++)
            if (f->dish_count == 0 || plan_pack_day(f, s->plan->flows[i].node) == day)
                s->flows[count++] = i;
}

static int order_lines(struct arena *a, struct sharing *s)
{
    const struct plan_frame *f = s->plan->f;
    const struct plan_problem *p = f->p;
    int count = 0;
    s->order = ARENA_ARRAY(a, struct line_order, (size_t)p->line_count + 1);
    s->first = ARENA_ARRAY(a, int, (size_t)f->cell_count + 1);
    s->at = ARENA_ARRAY(a, int, (size_t)f->cell_count + 1);
    s->end = ARENA_ARRAY(a, int, (size_t)f->cell_count + 1);
    s->open_kg = ARENA_ARRAY(a, double, (size_t)p->line_count + 1);
    s->packed_kg = ARENA_ARRAY(a, double, (size_t)p->line_count + 1);
    for (int i = 0; i < p->line_count; i++)
        if (f->cell_of_line[i] != PLAN_NONE)
            s->order[count++] = (struct line_order){i, f->cell_of_line[i], !p->lines[i].key};
    qsort(s->order, (size_t)count, sizeof *s->order, by_cell);
    for (int i = 0; i < count; i++) {
        int cell = s->order[i].cell;
        if (i == 0 || s->order[i - 1].cell != cell) s->first[cell] = s->at[cell] = i;
        s->end[cell] = i + 1;
        s->open_kg[s->order[i].line] = plan_line_kg(p, &p->lines[s->order[i].line]);
    }
    return count;
}

static void share_flow(struct sharing *s, const struct plan_flow *x)
{
    const struct plan_frame *f = s->plan->f;
    const struct plan_problem *p = f->p;
    const struct plan_serving how = plan_serving(f, x->node, x->cell);
    int want = f->cells[x->cell].want;
    double kg = x->kg;
    while (kg > 1e-9 && s->at[want] < s->end[want]) {
        int line = s->order[s->at[want]].line;
        double part = fmin(kg, s->open_kg[line] * how.kg_per_kg);
        int product =
            how.swap == PLAN_NONE ? p->lines[line].product : p->swaps[how.swap].to_product;
        if (part > 0)
            s->sales[s->sale_count++] =
                (struct plan_sale){x->node, line, product, how.day, part, false};
        kg -= part;
        s->open_kg[line] -= part / how.kg_per_kg;
        if (plan_pack_day(f, x->node) != PLAN_NONE) s->packed_kg[line] += part;
        if (s->open_kg[line] <= 1e-9) s->at[want]++;
    }
}

/* The goods of one crop beside the own one of a dish, to lines as these are met. */
static void share_with(struct sharing *s, int cell)
{
    const struct plan_cell *c = &s->plan->f->cells[cell];
    int want = s->plan->f->cells[c->own].want, at = s->first[want], end = s->end[want];
    double open_kg = at < end ? c->each * s->packed_kg[s->order[at].line] : 0;
    for (int i = 0; i < s->plan->flow_count; i++) {
        const struct plan_flow *x = &s->plan->flows[s->flows[i]];
        double kg = x->cell == cell ? x->kg : 0;
        while (kg > 1e-9 && at < end) {
            int line = s->order[at].line;
            double part = fmin(kg, open_kg);
            if (part > 0)
                s->sales[s->sale_count++] = (struct plan_sale){
                    x->node, line, s->plan->f->p->lines[line].product, c->day, part, true};
            kg -= part;
            open_kg -= part;
            if (open_kg > 1e-9) continue;
            open_kg = ++at < end ? c->each * s->packed_kg[s->order[at].line] : 0;
        }
    }
}

/* What leaves on the dish's day, to the lines that what left before leaves short. */
static void share_dish(struct sharing *s, const struct plan_dish *x)
{
    const struct plan_frame *f = s->plan->f;
    int want = f->cells[x->own].want;
    for (int i = s->first[want]; i < s->end[want]; i++)
        s->packed_kg[s->order[i].line] = 0;
    for (int i = 0; i < s->plan->flow_count; i++)
        if (s->plan->flows[s->flows[i]].cell == x->own) share_flow(s, &s->plan->flows[s->flows[i]]);
    for (int c = x->first; c < x->first + x->count; c++)
        share_with(s, c);
}

/* A line that is met and one that is begun split what serves them, in each slot of a dish. */
static int splits_of_dishes(const struct sharing *s)
{
    const struct plan_frame *f = s->plan->f;
    int splits = 0;
    for (int i = 0; i < f->dish_count; i++) {
        int want = f->cells[f->dishes[i].own].want;
        splits += (s->end[want] - s->first[want]) * (1 + f->dishes[i].count);
    }
    return splits;
}

static int by_node(const void *x, const void *y)
{
    const struct plan_sale *a = x, *b = y;
    if (a->node != b->node) return a->node < b->node ? -1 : 1;
    if (a->line != b->line) return a->line < b->line ? -1 : 1;
    return a->is_with - b->is_with;
}

int plan_sales(struct arena *a, const struct plan *plan, struct plan_sale **out)
{
    const struct plan_frame *f = plan->f;
    struct sharing s = {.plan = plan};
    int count = order_lines(a, &s);
    order_flows(a, &s);
    s.sales = ARENA_ARRAY(a, struct plan_sale,
                          (size_t)(plan->flow_count + count + splits_of_dishes(&s)) + 1);
    for (int i = 0; i < plan->flow_count; i++)
        if (f->cells[plan->flows[s.flows[i]].cell].dish == PLAN_NONE)
            share_flow(&s, &plan->flows[s.flows[i]]);
    for (int i = 0; i < f->dish_count; i++)
        share_dish(&s, &f->dishes[i]);
    if (f->dish_count > 0) qsort(s.sales, (size_t)s.sale_count, sizeof *s.sales, by_node);
    *out = s.sales;
    return s.sale_count;
}

int *plan_met_days(struct arena *a, const struct plan_problem *p, const struct plan_sale *sales,
                   int sale_count)
{
    int *days = ARENA_ARRAY(a, int, (size_t)p->line_count + 1);
    for (int i = 0; i < p->line_count; i++)
        days[i] = p->lines[i].day;
    for (int i = 0; i < sale_count; i++)
        if (sales[i].day > days[sales[i].line]) days[sales[i].line] = sales[i].day;
    return days;
}

int64_t *plan_met_pieces(struct arena *a, const struct plan *plan, const struct plan_sale *sales,
                         int sale_count)
{
    const struct plan_problem *p = plan->f->p;
    double *exact = ARENA_ARRAY(a, double, (size_t)p->line_count + 1);
    int64_t *pieces = ARENA_ARRAY(a, int64_t, (size_t)p->line_count + 1);
    for (int i = 0; i < sale_count; i++)
        if (!sales[i].is_with)
            exact[sales[i].line] += sales[i].kg / plan_piece_kg(p, sales[i].product);
    for (int i = 0; i < p->line_count; i++) {
        /* a plan in kg that meets a line exactly must not lose a piece to rounding */
        pieces[i] = (int64_t)floor(exact[i] * (1 + 1e-7) + 1e-6);
        if (pieces[i] > p->lines[i].pieces) pieces[i] = p->lines[i].pieces;
    }
    return pieces;
}
