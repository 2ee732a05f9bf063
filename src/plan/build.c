#include "plan/build.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "plan/mix.h"

struct ordered {
    double first, second;
    int index;
};

static int by_keys(const void *x, const void *y)
{
    const struct ordered *a = x, *b = y;
    if (a->first != b->first) return a->first < b->first ? -1 : 1;
    if (a->second != b->second) return a->second < b->second ? -1 : 1;
    return (a->index > b->index) - (a->index < b->index);
}

static int *sorted(struct arena *a, struct ordered *keys, int count)
{
    int *order = ARENA_ARRAY(a, int, (size_t)count + 1);
    qsort(keys, (size_t)count, sizeof *keys, by_keys);
    for (int i = 0; i < count; i++)
        order[i] = keys[i].index;
    return order;
}

/* Cost of one packed kg of a chamber filled to the top with the option's best grade. */
static double option_cost_per_kg(const struct plan_frame *f, int option)
{
    const struct plan_option *o = &f->options[option];
    double best = INFINITY;
    for (int i = o->first_fill; i < o->first_fill + f->blends[o->blend].grade_count; i++) {
        double seed_cost = f->grades[f->fills[i].grade].cost_per_kg;
        double cost = (f->p->crops[o->crop].start_cost / o->seed_max_kg + seed_cost) /
                      f->fills[i].packed_kg_per_kg;
        best = fmin(best, cost);
    }
    return best;
}

static void order_all(struct arena *a, struct builder *b)
{
    const struct plan_frame *f = b->f;
    int most = f->node_count;
    if (f->cell_count > most) most = f->cell_count;
    if (f->option_count > most) most = f->option_count;
    struct ordered *keys = ARENA_ARRAY(a, struct ordered, (size_t)most + 1);
    for (int n = 0; n < f->node_count; n++)
        keys[n] = (struct ordered){f->nodes[n].harvest_day, 0, n};
    b->node_order = sorted(a, keys, f->node_count);
    for (int c = 0; c < f->cell_count; c++)
        keys[c] = (struct ordered){f->cells[c].day, -f->cells[c].shortage_cost_per_kg, c};
    b->cell_order = sorted(a, keys, f->cell_count);
    for (int o = 0; o < f->option_count; o++)
        keys[o] = (struct ordered){-f->options[o].harvest_day, option_cost_per_kg(f, o), o};
    b->option_order = sorted(a, keys, f->option_count);
}

/* What is still wanted of a cell, with those that share its want. */
static double *open_of(const struct builder *b, int cell)
{
    return &b->open_kg[b->f->cells[cell].want];
}

double builder_open_kg(const struct builder *b, int cell)
{
    return *open_of(b, cell);
}

static double *tally_of(const struct builder *b, int dish)
{
    return &b->tally[dish * PLAN_DISH_SLOTS * b->f->p->day_count];
}

/* Where the tally counts what goes from the node to the cell; NULL: nowhere. */
static double *tallied(const struct builder *b, int node, int cell)
{
    int dish = b->f->cells[cell].dish, day = plan_pack_day(b->f, node);
    if (dish == PLAN_NONE || day == PLAN_NONE) return NULL;
    return &tally_of(b, dish)[plan_dish_slot(b->f, cell) * b->f->p->day_count + day];
}

void builder_serve(struct builder *b, int node, int cell, double kg)
{
    double *count = tallied(b, node, cell);
    if (count) *count += kg;
    plan_flow_add(b->plan, node, cell, kg);
    slack_take_goods(b->slack, node, b->f->cells[cell].mix, kg);
    b->left_kg[node] -= kg;
    *open_of(b, cell) -= kg / plan_serve_ratio(b->f, node, cell);
}

double builder_lets_through_kg(const struct builder *b, int node, int cell)
{
    double kg = slack_node_kg(b->slack, node, cell == PLAN_NONE ? 0 : b->f->cells[cell].mix);
    if (cell == PLAN_NONE || b->f->cells[cell].dish == PLAN_NONE ||
        b->f->cells[cell].own != PLAN_NONE)
        return kg;
    int dish = b->f->cells[cell].dish, day = plan_pack_day(b->f, node);
    return day == PLAN_NONE ? kg : fmin(kg, plan_dish_room_kg(b->f, dish, tally_of(b, dish), day));
}

enum serving_kind { AS_WANTED, INSTEAD, ACROSS };

static void serve_from_made(struct builder *b, int cell, enum serving_kind kind)
{
    for (int i = 0; i < b->f->node_count && builder_open_kg(b, cell) > BUILD_NOTHING_KG; i++) {
        int node = b->node_order[i];
        if (b->left_kg[node] <= BUILD_NOTHING_KG) continue;
        const struct plan_cell *c = &b->f->cells[cell];
        int crop = b->f->nodes[node].crop;
        if ((crop != c->crop) != (kind == ACROSS)) continue;
        struct plan_serving how = plan_serving(b->f, node, cell);
        if (how.day == PLAN_NEVER || (how.swap != PLAN_NONE) != (kind != AS_WANTED)) continue;
        double short_cost = fmax(c->shortage_cost_per_kg, c->worth_per_kg);
        double spared = short_cost / how.kg_per_kg + b->f->p->crops[crop].waste_cost_per_kg;
        if (plan_serve_cost(b->f, node, cell) > spared) continue; /* not worth it */
        double kg = fmin(builder_open_kg(b, cell) * how.kg_per_kg,
                         fmin(b->left_kg[node], builder_lets_through_kg(b, node, cell)));
        if (kg > BUILD_NOTHING_KG) builder_serve(b, node, cell, kg);
    }
}

void builder_serve_from_made(struct builder *b, int cell)
{
    serve_from_made(b, cell, AS_WANTED);
    if (b->f->cells[cell].swaps != 0) serve_from_made(b, cell, INSTEAD);
}

void builder_serve_across(struct builder *b, int cell)
{
    if (b->f->has_ties && b->f->cells[cell].swaps != 0) serve_from_made(b, cell, ACROSS);
}

void builder_ask_with(struct builder *b, int dish)
{
    const struct plan_dish *x = &b->f->dishes[dish];
    for (int c = x->first; c < x->first + x->count; c++)
        *open_of(b, c) = builder_open_kg(b, x->own) * b->f->cells[c].each;
}

/* Of one day's goods. -> kg given back */
static double give_back_of(struct builder *b, int cell, int day, double most_kg)
{
    double given_kg = 0;
    for (int i = b->plan->flow_count - 1; i >= 0 && given_kg < most_kg; i--) {
        struct plan_flow *x = &b->plan->flows[i];
        if (x->cell != cell || x->kg <= 0 || plan_pack_day(b->f, x->node) != day) continue;
        double kg = fmin(x->kg, most_kg - given_kg);
        slack_take_goods(b->slack, x->node, b->f->cells[cell].mix, -kg);
        b->left_kg[x->node] += kg;
        x->kg -= kg;
        given_kg += kg;
    }
    return given_kg;
}

void builder_give_back(struct builder *b, int dish)
{
    const struct plan_dish *x = &b->f->dishes[dish];
    double *tally = tally_of(b, dish), own_kg = plan_dish_kg(b->f, tally, 0);
    for (int c = x->first; c < x->first + x->count; c++) {
        int slot = plan_dish_slot(b->f, c);
        double over_kg = plan_dish_kg(b->f, tally, slot) - own_kg * b->f->cells[c].each;
        for (int d = b->f->p->day_count - 1; d >= 0 && over_kg > 0; d--) {
            double *of_day = &tally[slot * b->f->p->day_count + d];
            if (*of_day <= 0) continue;
            double kg = give_back_of(b, c, d, fmin(over_kg, *of_day));
            *of_day -= kg;
            over_kg -= kg;
        }
    }
    builder_ask_with(b, dish);
}

void builder_serve_dish(struct builder *b, int dish)
{
    const struct plan_dish *x = &b->f->dishes[dish];
    builder_serve_from_made(b, x->own); /* packs that are made */
    builder_ask_with(b, dish);
    for (int c = x->first; c < x->first + x->count; c++)
        builder_serve_from_made(b, c);
    builder_serve_from_made(b, x->own);
    builder_give_back(b, dish);
}

/* Adds seed of one fill, as far as day, lots and want_kg go. -> kg added */
double builder_add_seed(struct builder *b, int fill, double want_kg)
{
    const struct plan_option *o = &b->f->options[b->f->fills[fill].option];
    const struct plan_day *day = &b->slack->days[o->day];
    double kg = fmin(want_kg, slack_grade_kg(b->slack, b->f->fills[fill].grade, o->day));
    kg = fmin(kg, fmin(day->treat_seed_kg, day->soak_seed_kg));
    if (kg <= 0) return 0;
    slack_take_seed(b->slack, fill, kg);
    b->plan->seed_kg[fill] += kg;
    for (int h = 0; h < o->harvest_count; h++)
        if (o->harvests[h].node != PLAN_NONE)
            b->left_kg[o->harvests[h].node] +=
                kg * b->f->fills[fill].packed_kg_per_kg * o->harvests[h].share;
    return kg;
}

/* Fills a started option further for a cell. */
void builder_fill_for(struct builder *b, int option, int cell)
{
    const struct plan_option *o = &b->f->options[option];
    double ratio = plan_serve_ratio(b->f, o->node, cell);
    double room_kg =
        o->seed_max_kg * b->plan->counts[option] - plan_option_seed_kg(b->plan, option);
    for (int i = o->first_fill; i < o->first_fill + b->f->blends[o->blend].grade_count; i++) {
        double want_kg = fmin(builder_open_kg(b, cell) * ratio,
                              builder_lets_through_kg(b, o->node, cell) - b->left_kg[o->node]);
        if (want_kg <= BUILD_NOTHING_KG || room_kg <= BUILD_NOTHING_KG) return;
        room_kg -= builder_add_seed(b, i, fmin(room_kg, want_kg / b->f->fills[i].packed_kg_per_kg));
        double kg = fmin(builder_open_kg(b, cell) * ratio,
                         fmin(b->left_kg[o->node], builder_lets_through_kg(b, o->node, cell)));
        if (kg > BUILD_NOTHING_KG) builder_serve(b, o->node, cell, kg);
    }
}

static void fill_started(struct builder *b, int cell, bool across)
{
    for (int i = 0; i < b->f->option_count && builder_open_kg(b, cell) > BUILD_NOTHING_KG; i++) {
        int o = b->option_order[i];
        if (b->plan->counts[o] == 0) continue;
        int node = b->f->options[o].node;
        if ((b->f->options[o].crop != b->f->cells[cell].crop) == across && node != PLAN_NONE &&
            plan_serves(b->f, node, cell))
            builder_fill_for(b, o, cell);
    }
}

void builder_fill_started(struct builder *b, int cell)
{
    fill_started(b, cell, false);
}

void builder_fill_across(struct builder *b, int cell)
{
    if (b->f->has_ties && b->f->cells[cell].swaps != 0) fill_started(b, cell, true);
}

/* Most kg of a cell that goods made and started chambers could still serve, its limits aside. */
static double could_serve_kg(const struct builder *b, int cell)
{
    const struct plan_frame *f = b->f;
    double kg = 0;
    for (int n = 0; n < f->node_count; n++)
        if (b->left_kg[n] > BUILD_NOTHING_KG && plan_serves(f, n, cell)) kg += b->left_kg[n];
    for (int o = 0; o < f->option_count; o++) {
        const struct plan_option *x = &f->options[o];
        if (b->plan->counts[o] == 0 || x->node == PLAN_NONE || !plan_serves(f, x->node, cell))
            continue;
        double room_kg = x->seed_max_kg * b->plan->counts[o] - plan_option_seed_kg(b->plan, o);
        kg += fmax(0, room_kg) * f->fills[x->first_fill].packed_kg_per_kg;
    }
    return kg;
}

void builder_fill_dish(struct builder *b, int dish)
{
    const struct plan_dish *x = &b->f->dishes[dish];
    double open_kg = builder_open_kg(b, x->own);
    double kg = fmin(open_kg, could_serve_kg(b, x->own));
    for (int c = x->first; c < x->first + x->count && kg > BUILD_NOTHING_KG; c++)
        kg = fmin(kg, could_serve_kg(b, c) / b->f->cells[c].each);
    if (kg <= BUILD_NOTHING_KG) return;
    *open_of(b, x->own) = kg;
    builder_ask_with(b, dish);
    for (int c = x->first; c < x->first + x->count; c++) {
        builder_serve_from_made(b, c);
        builder_fill_started(b, c);
    }
    builder_serve_from_made(b, x->own);
    builder_fill_started(b, x->own);
    *open_of(b, x->own) += open_kg - kg;
    builder_give_back(b, dish);
}

void builder_spare_seed(struct builder *b)
{
    const struct plan_frame *f = b->f;
    for (int o = 0; o < f->option_count; o++) {
        const struct plan_option *x = &f->options[o];
        if (b->plan->counts[o] == 0 || x->node == PLAN_NONE || x->harvest_count > 1) continue;
        double over_kg = plan_option_seed_kg(b->plan, o) - x->seed_min_kg * b->plan->counts[o];
        for (int i = x->first_fill; i < x->first_fill + f->blends[x->blend].grade_count; i++) {
            double yield = f->fills[i].packed_kg_per_kg;
            double kg = fmin(fmin(over_kg, b->plan->seed_kg[i]), b->left_kg[x->node] / yield);
            if (kg <= BUILD_NOTHING_KG) continue;
            b->plan->seed_kg[i] -= kg;
            b->left_kg[x->node] -= kg * yield;
            over_kg -= kg;
        }
    }
}

void builder_choose(struct builder *b, int running, int choice)
{
    if (b->plan->choices[running] == choice) return;
    int from = plan_chosen(b->plan, running);
    b->plan->choices[running] = choice;
    int to = plan_chosen(b->plan, running);
    slack_choose(b->slack, from, to);
    const struct plan_choice *x = &b->f->choices[from], *y = &b->f->choices[to];
    if (x->node == PLAN_NONE) return; /* nothing comes of the lot */
    b->left_kg[x->node] = fmax(0, b->left_kg[x->node] - x->packed_kg);
    b->left_kg[y->node] += y->packed_kg;
}

bool builder_may_start(const struct builder *b, int option)
{
    const struct plan_frame *f = b->f;
    const struct plan_option *o = &f->options[option];
    if (o->is_replacement &&
        b->replaced[o->day * f->p->crop_count + o->crop] >= plan_dropped(f, o->day, o->crop))
        return false;
    const struct plan_way *way = &f->p->crops[o->crop].ways[o->way];
    bool any = false;
    for (int h = 0; h < o->harvest_count && !any; h++)
        any = o->harvests[h].node == PLAN_NONE ||
              builder_lets_through_kg(b, o->harvests[h].node, PLAN_NONE) > BUILD_NOTHING_KG;
    return any && slack_start_blocks(b->slack, o->day, way, o->pool, o->seed_min_kg) == 0 &&
           slack_seed_blocks(b->slack, o->day, o->blend, o->seed_min_kg) == 0;
}

void builder_start(struct builder *b, int option)
{
    const struct plan_option *o = &b->f->options[option];
    slack_take_chambers(b->slack, option, 1);
    b->plan->counts[option]++;
    if (o->is_replacement) b->replaced[o->day * b->f->p->crop_count + o->crop]++;
    double need_kg = o->seed_min_kg;
    for (int i = o->first_fill; i < o->first_fill + b->f->blends[o->blend].grade_count; i++)
        need_kg -= builder_add_seed(b, i, need_kg);
}

static size_t tally_room(const struct plan_frame *f)
{
    return (size_t)(f->dish_count * PLAN_DISH_SLOTS * f->p->day_count);
}

void builder_copy(struct builder *to, const struct builder *from)
{
    const struct plan_frame *f = from->f;
    const struct plan *plan = from->plan;
    memcpy(to->plan->counts, plan->counts, (size_t)f->option_count * sizeof *plan->counts);
    memcpy(to->plan->seed_kg, plan->seed_kg, (size_t)f->fill_count * sizeof *plan->seed_kg);
    memcpy(to->plan->end_kg, plan->end_kg, (size_t)f->node_count * sizeof *plan->end_kg);
    memcpy(to->plan->choices, plan->choices, (size_t)f->p->running_count * sizeof *plan->choices);
    to->plan->flow_count = 0;
    for (int i = 0; i < plan->flow_count; i++)
        plan_flow_add(to->plan, plan->flows[i].node, plan->flows[i].cell, plan->flows[i].kg);
    slack_copy(to->slack, from->slack);
    memcpy(to->left_kg, from->left_kg, (size_t)f->node_count * sizeof *to->left_kg);
    memcpy(to->open_kg, from->open_kg, (size_t)f->cell_count * sizeof *to->open_kg);
    memcpy(to->replaced, from->replaced,
           (size_t)(f->p->day_count * f->p->crop_count) * sizeof *to->replaced);
    memcpy(to->tally, from->tally, tally_room(f) * sizeof *to->tally);
}

void builder_reset(struct builder *b)
{
    const struct plan_frame *f = b->f;
    const struct plan_problem *p = f->p;
    struct plan *plan = b->plan;
    memset(plan->counts, 0, (size_t)f->option_count * sizeof *plan->counts);
    memset(plan->seed_kg, 0, (size_t)f->fill_count * sizeof *plan->seed_kg);
    memset(plan->end_kg, 0, (size_t)f->node_count * sizeof *plan->end_kg);
    memset(b->replaced, 0, (size_t)(p->day_count * p->crop_count) * sizeof *b->replaced);
    memset(b->tally, 0, tally_room(f) * sizeof *b->tally);
    plan->flow_count = 0;
    plan_choose_told(plan);
    slack_copy(b->slack, b->untouched);
    for (int n = 0; n < f->node_count; n++)
        b->left_kg[n] = f->nodes[n].given_kg;
    for (int c = 0; c < f->cell_count; c++)
        b->open_kg[c] = f->cells[c].kg;
}

struct builder *builder_new(struct arena *a, const struct plan_frame *f)
{
    struct builder *b = ARENA_NEW(a, struct builder);
    b->f = f;
    b->plan = plan_new(a, f);
    b->slack = slack_new(a, f);
    b->untouched = slack_new(a, f);
    b->left_kg = ARENA_ARRAY(a, double, (size_t)f->node_count + 1);
    b->open_kg = ARENA_ARRAY(a, double, (size_t)f->cell_count + 1);
    b->replaced = ARENA_ARRAY(a, int, (size_t)(f->p->day_count * f->p->crop_count) + 1);
    b->tally = ARENA_ARRAY(a, double, tally_room(f) + 1);
    order_all(a, b);
    builder_reset(b);
    return b;
}
