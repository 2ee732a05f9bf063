#include "feasible.h"

#include <limits.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <string.h>

#include <cmocka.h>

/* kg: what a solver's rounding may add up to over a few hundred terms */
static const double EPS = 1e-4;

#define HOLDS(condition, ...)                    \
    do {                                         \
        if (!(condition)) fail_msg(__VA_ARGS__); \
    } while (0)

/* Of crop in a piece. */
static double piece_kg(const struct plan_problem *p, int product)
{
    const struct plan_product *x = &p->products[product];
    return x->crop_kg > 0 ? x->crop_kg : x->net_kg;
}

/* Of any crop in a piece. */
static double crop_kg(const struct plan_problem *p, int product, int crop)
{
    const struct plan_product *x = &p->products[product];
    for (int i = 0; i < x->with_count; i++)
        if (x->with[i].crop == crop) return x->with[i].kg;
    return x->crop == crop ? piece_kg(p, product) : 0;
}

static int ready_day(const struct plan_problem *p, int market, int day)
{
    const struct plan_market *m = &p->markets[market];
    double wait = m->sample_age_h + m->transit_h + m->laboratory_h;
    int ready = day;
    if (wait > 0 && p->retest_planned) wait += m->retest_h;
    while (wait > 0 && ready * 24 + p->dispatch_hour < day * 24 + p->soak_hour + wait)
        ready++;
    return ready;
}

/* Goods of a start, running lot or stock may leave for the line. */
static int leaves_on(const struct plan_problem *p, const struct plan_line *line, int harvest_day,
                     int first_day)
{
    int day = line->day;
    while (day < harvest_day || day < first_day ||
           (p->is_shut != NULL && day < p->day_count && p->is_shut[day]))
        day++;
    return day;
}

/* As a product: the line's own, or what is given instead. All of a dish of several crops leaves
 * together, on a day that is too late for none of them; all else as soon as it may. */
static bool may_leave(const struct plan_problem *p, const struct plan_line *line,
                      const struct plan_sale *sale, int harvest_day, int first_day,
                      uint32_t markets)
{
    const struct plan_group *g = &p->groups[line->group];
    if (first_day > p->day_count) return false;
    const struct plan_product *product = &p->products[sale->product];
    int day = leaves_on(p, line, harvest_day, first_day);
    if (product->with_count > 0 && sale->day > day) {
        if (sale->day < p->day_count && p->is_shut != NULL && p->is_shut[sale->day]) return false;
        day = sale->day;
    }
    int left = harvest_day + product->life_days - day;
    return day == sale->day && day <= line->day + g->late_days && day < p->day_count &&
           left >= g->remaining_days && (markets & 1u << g->market);
}

/* The cheapest swap by which the line's customer takes the product; NULL: none. */
static const struct plan_swap *swap_for(const struct plan_problem *p, const struct plan_line *line,
                                        int product)
{
    const struct plan_swap *best = NULL;
    for (int i = 0; i < p->swap_count; i++) {
        const struct plan_swap *x = &p->swaps[i];
        if (x->from_product != line->product || x->to_product != product ||
            (x->groups && !x->groups[line->group]))
            continue;
        if (!best || x->cost_per_kg < best->cost_per_kg) best = x;
    }
    return best;
}

/* A running lot as chosen. */
static int chosen_day(const struct plan_problem *p, const struct plan_outcome *x, int running)
{
    int choice = x->improvement.plan->choices[running];
    return choice == 0 ? p->running[running].harvest_day
                       : p->running[running].others[choice - 1].day;
}

static double chosen_kg(const struct plan_problem *p, const struct plan_outcome *x, int running)
{
    int choice = x->improvement.plan->choices[running];
    double share = choice == 0 ? 1 : p->running[running].others[choice - 1].yield_factor;
    return p->running[running].packed_kg * share;
}

static int told_day(const struct plan_running *r)
{
    return r->told == 0 ? r->harvest_day : r->others[r->told - 1].day;
}

/* The node its goods are in: of its day. */
static int node_of_running(const struct plan_problem *p, const struct plan_outcome *x, int running)
{
    const struct plan_frame *f = x->frame;
    int node = f->node_of_running[running], choice = x->improvement.plan->choices[running];
    HOLDS(choice >= 0 && choice <= p->running[running].other_count, "lot %d: no such choice",
          running);
    if (choice != p->running[running].told)
        node = f->choices[f->first_choice[running] + choice].node;
    HOLDS(node == PLAN_NONE || f->nodes[node].harvest_day == chosen_day(p, x, running),
          "lot %d is in the goods of another day", running);
    return node;
}

static bool overlap(int from, int to, int other_from, int other_to)
{
    return from <= other_to && other_from <= to;
}

/* Last day the start takes its chamber. */
static int last_taken(const struct plan_problem *p, const struct plan_placed *s)
{
    const struct plan_way *w = &p->crops[s->crop].ways[s->way];
    int after = w->part_count > 0 ? w->parts[w->part_count - 1].after_days : 0;
    return s->day + w->grow_days + after + p->cleaning_days - 1;
}

/* Kg of a start's harvest, 0 ... part_count - 1, from its seed and the way's parts. */
static double harvest_kg(const struct plan_problem *p, const struct plan_placed *s, int harvest)
{
    const struct plan_way *w = &p->crops[s->crop].ways[s->way];
    double kg = 0;
    for (int k = 0; k < s->part_count; k++)
        kg +=
            s->parts[k].kg * p->seed_lots[s->parts[k].lot].yield_factor * w->packed_kg_per_seed_kg;
    return w->part_count > 0 ? kg * w->parts[harvest].share * w->parts[harvest].yield_factor : kg;
}

static void harvests_hold(const struct plan_problem *p, const struct plan_placed *s, int start)
{
    const struct plan_way *w = &p->crops[s->crop].ways[s->way];
    HOLDS(s->harvest_count == (w->part_count > 0 ? w->part_count : 1), "start %d has %d harvests",
          start, s->harvest_count);
    HOLDS(s->harvest_day == s->day + w->grow_days, "start %d is harvested on the wrong day", start);
    for (int h = 0; h < s->harvest_count; h++) {
        int day = s->day + w->grow_days + (w->part_count > 0 ? w->parts[h].after_days : 0);
        HOLDS(s->harvests[h].day == day, "start %d: harvest %d is on the wrong day", start, h);
        HOLDS((s->harvests[h].node == PLAN_NONE) == (day >= p->day_count),
              "start %d: harvest %d is lost", start, h);
        HOLDS(fabs(s->packed_kg * s->harvests[h].share - harvest_kg(p, s, h)) < EPS * 10,
              "start %d: harvest %d gives %.6f kg", start, h, s->packed_kg * s->harvests[h].share);
    }
    if (w->part_count > 0 && !s->is_fixed)
        HOLDS(s->seed_kg >=
                  p->crops[s->crop].fills[p->chambers[s->chamber].class_index].seed_max_kg - EPS,
              "start %d is in parts and not full", start);
}

static void chambers_hold(const struct plan_problem *p, const struct plan_outcome *x)
{
    for (int i = 0; i < x->start_count; i++) {
        const struct plan_placed *s = &x->starts[i];
        int last = last_taken(p, s);
        harvests_hold(p, s, i);
        for (int j = i + 1; j < x->start_count; j++)
            HOLDS(x->starts[j].chamber != s->chamber ||
                      !overlap(s->day, last, x->starts[j].day, last_taken(p, &x->starts[j])),
                  "starts %d and %d share chamber %d", i, j, s->chamber);
        for (int r = 0; r < p->running_count; r++)
            HOLDS(p->running[r].chamber != s->chamber ||
                      s->day >= chosen_day(p, x, r) + p->cleaning_days,
                  "start %d is in chamber %d with a running lot", i, s->chamber);
        const struct plan_chamber *c = &p->chambers[s->chamber];
        for (int o = 0; o < c->outage_count; o++)
            HOLDS(!overlap(s->day, last, c->outages[o].from_day, c->outages[o].to_day),
                  "start %d is in chamber %d while it is out of service", i, s->chamber);
        const struct plan_fill *fill = &p->crops[s->crop].fills[c->class_index];
        if (s->is_fixed) continue;
        HOLDS(fill->seed_max_kg > 0, "start %d is in a class that is not for its crop", i);
        HOLDS(s->seed_kg >= fill->seed_min_kg - EPS && s->seed_kg <= fill->seed_max_kg + EPS,
              "start %d has %.6f kg of seed, not %.2f to %.2f", i, s->seed_kg, fill->seed_min_kg,
              fill->seed_max_kg);
    }
}

static void seed_holds(struct arena *a, const struct plan_problem *p, const struct plan_outcome *x)
{
    double *used = ARENA_ARRAY(a, double, (size_t)p->seed_lot_count + 1);
    for (int i = 0; i < x->start_count; i++) {
        const struct plan_placed *s = &x->starts[i];
        uint32_t markets = UINT32_MAX;
        double kg = 0, packed_kg = 0;
        for (int k = 0; k < s->part_count; k++) {
            const struct plan_seed_lot *lot = &p->seed_lots[s->parts[k].lot];
            HOLDS(lot->seed_item == p->crops[s->crop].seed_item, "start %d: wrong seed", i);
            HOLDS(s->day >= lot->from_day && s->day <= lot->last_day,
                  "start %d: lot %s is not usable", i, lot->code);
            markets &= lot->markets;
            kg += s->parts[k].kg;
            used[s->parts[k].lot] += s->parts[k].kg;
        }
        markets &= (1u << p->market_count) - 1;
        HOLDS(s->markets == markets, "start %d may be sold in %x, not %x", i, markets, s->markets);
        HOLDS(fabs(kg - s->seed_kg) < EPS, "start %d: parts are not its seed", i);
        for (int h = 0; h < s->harvest_count; h++)
            packed_kg += harvest_kg(p, s, h);
        HOLDS(fabs(packed_kg - s->packed_kg) < EPS * 10, "start %d: wrong yield", i);
    }
    for (int l = 0; l < p->seed_lot_count; l++)
        HOLDS(used[l] <= p->seed_lots[l].kg + EPS, "lot %d gives %.6f of %.2f kg", l, used[l],
              p->seed_lots[l].kg);
}

/* Each source of a node must fit each line the node serves, and hold what is sold of it. */
static void goods_hold(struct arena *a, const struct plan_problem *p, const struct plan_outcome *x)
{
    double *made = ARENA_ARRAY(a, double, (size_t)x->frame->node_count + 1);
    for (int i = 0; i < x->start_count; i++)
        for (int h = 0; h < x->starts[i].harvest_count; h++)
            if (x->starts[i].harvests[h].node != PLAN_NONE)
                made[x->starts[i].harvests[h].node] += harvest_kg(p, &x->starts[i], h);
    for (int i = 0; i < p->running_count; i++)
        if (node_of_running(p, x, i) != PLAN_NONE)
            made[node_of_running(p, x, i)] += chosen_kg(p, x, i);
    for (int i = 0; i < p->stock_count; i++)
        made[x->frame->node_of_stock[i]] += p->stock[i].kg;
    for (int n = 0; n < x->frame->node_count; n++)
        made[n] -= x->improvement.plan->end_kg[n];
    for (int s = 0; s < x->sale_count; s++) {
        const struct plan_sale *sale = &x->sales[s];
        const struct plan_line *line = &p->lines[sale->line];
        int market = p->groups[line->group].market, crop = x->frame->nodes[sale->node].crop;
        made[sale->node] -= sale->kg;
        HOLDS(crop_kg(p, sale->product, crop) > 0, "line %d does not hold crop %d", sale->line,
              crop);
        HOLDS(sale->is_with == (crop != p->products[sale->product].crop),
              "line %d: its own crop is taken for another", sale->line);
        HOLDS(sale->product == line->product || swap_for(p, line, sale->product),
              "line %d does not take product %d", sale->line, sale->product);
        for (int i = 0; i < x->start_count; i++)
            for (int h = 0; h < x->starts[i].harvest_count; h++)
                HOLDS(x->starts[i].harvests[h].node != sale->node ||
                          (x->starts[i].crop == crop &&
                           may_leave(p, line, sale, x->starts[i].harvests[h].day,
                                     ready_day(p, market, x->starts[i].day), x->starts[i].markets)),
                      "start %d may not serve line %d", i, sale->line);
        for (int i = 0; i < p->running_count; i++)
            HOLDS(node_of_running(p, x, i) != sale->node ||
                      (p->running[i].crop == crop &&
                       may_leave(p, line, sale, chosen_day(p, x, i),
                                 p->running[i].ready_day[market], p->running[i].markets)),
                  "running lot %d may not serve line %d", i, sale->line);
        for (int i = 0; i < p->stock_count; i++)
            HOLDS(x->frame->node_of_stock[i] != sale->node ||
                      (p->stock[i].crop == crop &&
                       (p->stock[i].product == PLAN_NONE ||
                        (p->stock[i].product == sale->product && !sale->is_with)) &&
                       may_leave(p, line, sale, p->stock[i].harvest_day,
                                 p->stock[i].ready_day[market], p->stock[i].markets)),
                  "stock %d may not serve line %d", i, sale->line);
    }
    for (int n = 0; n < x->frame->node_count; n++)
        HOLDS(made[n] >= -EPS * 10, "node %d sells %.6f kg more than it has", n, -made[n]);
}

static void lines_hold(struct arena *a, const struct plan_problem *p, const struct plan_outcome *x)
{
    double *given = ARENA_ARRAY(a, double, (size_t)p->line_count + 1); /* pieces */
    for (int s = 0; s < x->sale_count; s++)
        if (!x->sales[s].is_with)
            given[x->sales[s].line] += x->sales[s].kg / piece_kg(p, x->sales[s].product);
    int shorts = 0;
    for (int i = 0; i < p->line_count; i++) {
        double eps = EPS / piece_kg(p, p->lines[i].product);
        HOLDS(x->met_pieces[i] >= 0 && x->met_pieces[i] <= p->lines[i].pieces,
              "line %d: pieces out of range", i);
        HOLDS((double)x->met_pieces[i] <= given[i] + eps, "line %d: packs without goods", i);
        HOLDS(given[i] < (double)(x->met_pieces[i] + 1) + eps, "line %d: a piece is lost", i);
        if (x->met_pieces[i] == p->lines[i].pieces) continue;
        HOLDS(shorts < x->short_count && x->shorts[shorts].line == i &&
                  x->shorts[shorts].pieces == p->lines[i].pieces - x->met_pieces[i],
              "line %d is short and unexplained", i);
        shorts++;
    }
    HOLDS(shorts == x->short_count, "more is explained than is short");
}

/* Pieces of a line that leave on a day hold a crop, harvested when they are packed or before; no
 * more of it is taken. */
static void dish_holds(const struct plan_problem *p, const struct plan_outcome *x, int line,
                       int leaves, const struct plan_with *in)
{
    const struct plan_product *dish = &p->products[p->lines[line].product];
    double pieces = 0, with = 0;
    for (int d = 0; d < p->day_count; d++) {
        for (int s = 0; s < x->sale_count; s++) {
            const struct plan_node *node = &x->frame->nodes[x->sales[s].node];
            int day = node->harvest_day > 0 ? node->harvest_day : 0;
            if (x->sales[s].line != line || x->sales[s].day != leaves || day != d ||
                node->product != PLAN_NONE)
                continue;
            if (node->crop == dish->crop) pieces += x->sales[s].kg / dish->crop_kg;
            if (node->crop == in->crop) with += x->sales[s].kg / in->kg;
        }
        HOLDS(with >= pieces - EPS * 10 / in->kg,
              "line %d: %.6f pieces packed by day %d for day %d, %.6f of crop %d in them", line,
              pieces, d, leaves, with, in->crop);
    }
    HOLDS(with <= pieces + EPS * 10 / in->kg, "line %d: too much of crop %d is taken", line,
          in->crop);
}

static void dishes_hold(const struct plan_problem *p, const struct plan_outcome *x)
{
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_product *dish = &p->products[p->lines[i].product];
        for (int k = 0; k < dish->with_count; k++)
            for (int d = p->lines[i].day; d < p->day_count; d++)
                dish_holds(p, x, i, d, &dish->with[k]);
    }
}

struct day_use {
    int starts, fixed_starts, harvests, told_harvests;
    double seed_kg, fixed_seed_kg, bed_kg, packed_kg;
};

static void days_hold(struct arena *a, const struct plan_problem *p, const struct plan_outcome *x)
{
    struct day_use *use = ARENA_ARRAY(a, struct day_use, (size_t)p->day_count + 1);
    for (int i = 0; i < x->start_count; i++) {
        const struct plan_placed *s = &x->starts[i];
        use[s->day].starts += !s->is_fixed;
        use[s->day].fixed_starts += s->is_fixed;
        *(s->is_fixed ? &use[s->day].fixed_seed_kg : &use[s->day].seed_kg) += s->seed_kg;
        for (int h = 0; h < s->harvest_count; h++) {
            if (s->harvests[h].day >= p->day_count) continue;
            use[s->harvests[h].day].harvests++;
            use[s->harvests[h].day].told_harvests += s->is_fixed;
        }
    }
    for (int i = 0; i < p->running_count; i++) {
        if (chosen_day(p, x, i) < p->day_count) use[chosen_day(p, x, i)].harvests++;
        if (told_day(&p->running[i]) < p->day_count) use[told_day(&p->running[i])].told_harvests++;
    }
    double *taken = ARENA_ARRAY(a, double, (size_t)x->frame->node_count + 1);
    double *work = ARENA_ARRAY(a, double, (size_t)(p->work_count * p->day_count) + 1);
    for (int n = 0; n < x->frame->node_count; n++)
        taken[n] = x->improvement.plan->end_kg[n];
    for (int s = 0; s < x->sale_count; s++)
        taken[x->sales[s].node] += x->sales[s].kg;
    for (int n = 0; n < x->frame->node_count; n++) {
        const struct plan_node *node = &x->frame->nodes[n];
        if (node->is_stock) continue;
        use[node->harvest_day].packed_kg += x->improvement.plan->end_kg[n];
        use[node->harvest_day].bed_kg += taken[n] * p->crops[node->crop].bed_kg_per_packed_kg;
        for (int w = 0; w < p->work_count; w++)
            work[w * p->day_count + node->harvest_day] +=
                taken[n] * p->works[w].per_packed_kg[node->crop];
    }
    for (int s = 0; s < x->sale_count; s++) {
        const struct plan_node *node = &x->frame->nodes[x->sales[s].node];
        int product = p->lines[x->sales[s].line].product;
        if (!node->is_stock && !x->sales[s].is_with)
            use[node->harvest_day].packed_kg +=
                x->sales[s].kg / piece_kg(p, product) * p->products[product].net_kg;
    }
    for (int d = 0; d < p->day_count; d++) {
        const struct plan_day *limit = &p->days[d];
        const struct day_use *u = &use[d];
        /* what was fixed before may stand above a limit; nothing may be added to it then */
        HOLDS(u->starts == 0 || u->starts + u->fixed_starts <= limit->starts_max, "day %d: starts",
              d);
        HOLDS(u->harvests <= limit->harvests_max || u->harvests <= u->told_harvests,
              "day %d: harvests", d);
        HOLDS(u->seed_kg <= EPS || u->seed_kg + u->fixed_seed_kg <=
                                       fmin(limit->treat_seed_kg, limit->soak_seed_kg) + EPS,
              "day %d: seed treated or soaked", d);
        HOLDS(u->bed_kg <= fmin(limit->harvest_bed_kg, limit->wash_bed_kg) + EPS * 10,
              "day %d: bed harvested or washed", d);
        HOLDS(u->packed_kg <= limit->pack_kg + EPS * 10, "day %d: packed", d);
        for (int w = 0; w < p->work_count; w++)
            HOLDS(work[w * p->day_count + d] <= p->works[w].limit[d] + EPS * 10,
                  "day %d: more of %s than there is", d, p->works[w].code);
    }
}

/* Day by day the lots that may be used must hold what is packed, the soonest useless taken first.
 */
static void ingredient_holds(struct arena *a, const struct plan_problem *p,
                             const struct plan_outcome *x, int ingredient)
{
    const struct plan_ingredient *y = &p->ingredients[ingredient];
    double *need = ARENA_ARRAY(a, double, (size_t)p->day_count);
    double *left = ARENA_ARRAY(a, double, (size_t)y->lot_count + 1);
    for (int s = 0; s < x->sale_count; s++) {
        const struct plan_node *node = &x->frame->nodes[x->sales[s].node];
        int product = p->lines[x->sales[s].line].product;
        if ((node->is_stock && node->product != PLAN_NONE) || x->sales[s].is_with) continue;
        need[node->harvest_day > 0 ? node->harvest_day : 0] +=
            x->sales[s].kg / piece_kg(p, product) * y->kg_per_piece[product];
    }
    for (int l = 0; l < y->lot_count; l++)
        left[l] = y->lots[l].kg;
    for (int d = 0; d < p->day_count; d++)
        for (;;) {
            int best = -1;
            for (int l = 0; l < y->lot_count; l++)
                if (left[l] > 0 && y->lots[l].from_day <= d && y->lots[l].last_day >= d &&
                    (best < 0 || y->lots[l].last_day < y->lots[best].last_day))
                    best = l;
            double kg = best < 0 ? 0 : fmin(need[d], left[best]);
            need[d] -= kg;
            if (best >= 0) left[best] -= kg;
            if (need[d] <= 0) break;
            if (best >= 0) continue;
            HOLDS(need[d] <= EPS * 10, "day %d: %.6f kg too much of %s", d, need[d], y->code);
            break;
        }
}

static void frozen_holds(const struct plan_problem *p, const struct plan_outcome *x)
{
    for (int i = 0; i < p->taken_count; i++) {
        if (p->taken[i].day >= p->frozen_days) continue;
        int found = 0;
        for (int s = 0; s < x->start_count; s++)
            found += x->starts[s].taken == i && x->starts[s].is_fixed &&
                     x->starts[s].day == p->taken[i].day && x->starts[s].crop == p->taken[i].crop;
        for (int d = 0; d < x->frame->drop_count; d++)
            found += x->frame->drops[d].taken == i;
        HOLDS(found == 1, "taken start %d is neither kept nor told as impossible", i);
    }
    for (int d = 0; d < p->frozen_days; d++)
        for (int k = 0; k < p->crop_count; k++) {
            int added = 0, dropped = 0;
            for (int s = 0; s < x->start_count; s++)
                added += x->starts[s].day == d && x->starts[s].crop == k && !x->starts[s].is_fixed;
            for (int i = 0; i < x->frame->drop_count; i++) {
                const struct plan_taken *t = &p->taken[x->frame->drops[i].taken];
                dropped += t->day == d && t->crop == k;
            }
            HOLDS(added <= dropped, "day %d is frozen and has a new start", d);
        }
}

void feasible_check(const struct plan_problem *p, const struct plan_outcome *x)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    chambers_hold(p, x);
    seed_holds(&a, p, x);
    goods_hold(&a, p, x);
    lines_hold(&a, p, x);
    dishes_hold(p, x);
    days_hold(&a, p, x);
    for (int i = 0; i < p->ingredient_count; i++)
        ingredient_holds(&a, p, x, i);
    frozen_holds(p, x);
    arena_release(&a);
}

static double change_cost(const struct plan_problem *p, const struct plan_outcome *x)
{
    int lost = 0;
    for (int i = 0; i < p->taken_count; i++) {
        if (p->taken[i].day < p->frozen_days) continue;
        bool kept = false;
        for (int s = 0; s < x->start_count; s++)
            kept = kept || x->starts[s].taken == i;
        lost += !kept;
    }
    for (int i = 0; i < p->running_count; i++)
        lost += x->improvement.plan->choices[i] != p->running[i].told;
    return lost * p->change_cost;
}

static double end_value(const struct plan_problem *p, const struct plan_outcome *x, int crop)
{
    const struct plan_crop *c = &p->crops[crop];
    double kept_kg = 0, standing_kg = 0, given_kg = 0, value = 0;
    int life = 0;
    for (int i = 0; i < p->product_count; i++)
        if (crop_kg(p, i, crop) > 0 && p->products[i].life_days > life)
            life = p->products[i].life_days;
    for (int n = 0; n < x->frame->node_count; n++) {
        if (x->frame->nodes[n].crop != crop) continue;
        double kg = x->improvement.plan->end_kg[n];
        int left = x->frame->nodes[n].harvest_day + life - (p->day_count - 1);
        kept_kg += kg;
        value += kg * c->end_value_per_kg * fmin(1, (double)left / life);
    }
    for (int i = 0; i < p->running_count; i++)
        if (p->running[i].crop == crop && p->running[i].harvest_day >= p->day_count)
            given_kg += p->running[i].packed_kg;
    for (int s = 0; s < x->start_count; s++)
        for (int h = 0; h < x->starts[s].harvest_count; h++)
            if (x->starts[s].crop == crop && x->starts[s].harvests[h].day >= p->day_count)
                *(x->starts[s].is_fixed ? &given_kg : &standing_kg) +=
                    harvest_kg(p, &x->starts[s], h);
    double wanted_kg = fmax(0, c->end_kg_wanted - given_kg);
    return value + c->end_value_per_kg * fmax(0, fmin(standing_kg, wanted_kg - kept_kg));
}

double feasible_cost(const struct plan_problem *p, const struct plan_outcome *x)
{
    double cost = change_cost(p, x), *made, *short_kg;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    made = ARENA_ARRAY(&a, double, (size_t)p->crop_count + 1);
    short_kg = ARENA_ARRAY(&a, double, (size_t)p->line_count + 1);
    for (int i = 0; i < x->start_count; i++) {
        const struct plan_placed *s = &x->starts[i];
        for (int h = 0; h < s->harvest_count; h++)
            if (s->harvests[h].day < p->day_count) made[s->crop] += harvest_kg(p, s, h);
        if (s->is_fixed) continue;
        cost += p->crops[s->crop].start_cost;
        for (int k = 0; k < s->part_count; k++)
            cost += s->parts[k].kg * p->seed_lots[s->parts[k].lot].cost_per_kg;
    }
    for (int i = 0; i < p->running_count; i++)
        if (chosen_day(p, x, i) < p->day_count) made[p->running[i].crop] += chosen_kg(p, x, i);
    for (int i = 0; i < p->stock_count; i++)
        made[p->stock[i].crop] += p->stock[i].kg;
    for (int n = 0; n < x->frame->node_count; n++)
        made[x->frame->nodes[n].crop] -= x->improvement.plan->end_kg[n];
    for (int i = 0; i < p->line_count; i++)
        short_kg[i] = plan_line_kg(p, &p->lines[i]);
    for (int s = 0; s < x->sale_count; s++) {
        const struct plan_line *line = &p->lines[x->sales[s].line];
        const struct plan_node *node = &x->frame->nodes[x->sales[s].node];
        const struct plan_crop *crop = &p->crops[node->crop];
        const struct plan_group *group = &p->groups[line->group];
        int day = x->sales[s].day, given = x->sales[s].product;
        double kg = x->sales[s].kg;
        double wanted_kg = kg / p->products[given].net_kg * p->products[line->product].net_kg;
        cost +=
            kg * (day - node->harvest_day) * crop->hold_cost_per_kg_day +
            (x->sales[s].is_with ? 0 : wanted_kg) * (day - line->day) * group->late_cost_per_kg_day;
        if (given != line->product) cost += kg * swap_for(p, line, given)->cost_per_kg;
        made[node->crop] -= kg;
        if (!x->sales[s].is_with) short_kg[x->sales[s].line] -= wanted_kg;
    }
    for (int i = 0; i < p->line_count; i++)
        cost += short_kg[i] * p->lines[i].shortage_cost_per_kg;
    for (int k = 0; k < p->crop_count; k++)
        cost += made[k] * p->crops[k].waste_cost_per_kg - end_value(p, x, k);
    arena_release(&a);
    return cost;
}
