#include "plan/frame.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "plan/dish.h"
#include "plan/mix.h"
#include "plan/pool.h"
#include "plan/tie.h"

/* Seed lots this close in yield are planned as one grade. common practice: well inside the spread
 * of any house's yields. */
static const double GRADE_WIDTH = 0.02;

bool plan_lot_usable(const struct plan_seed_lot *lot, int day)
{
    return day >= lot->from_day && day <= lot->last_day;
}

int plan_node_ready_day(const struct plan_node *n, int market)
{
    return n->markets >> market & 1 ? n->ready_day[market] : PLAN_NEVER;
}

static uint32_t known_markets(const struct plan_problem *p)
{
    return (uint32_t)((1u << p->market_count) - 1);
}

/* seed */

struct lot_order {
    const struct plan_problem *p;
    int lot;
};

static int compare_int(int64_t x, int64_t y)
{
    return (x > y) - (x < y);
}

/* Soonest useless first, then oldest: with interval windows this order wastes no usable seed. */
static int by_use(const void *x, const void *y)
{
    const struct lot_order *a = x, *b = y;
    const struct plan_seed_lot *l = &a->p->seed_lots[a->lot], *m = &b->p->seed_lots[b->lot];
    int c = compare_int(l->last_day, m->last_day);
    if (c == 0) c = compare_int(l->received_day, m->received_day);
    return c != 0 ? c : compare_int(a->lot, b->lot);
}

static int by_grade(const void *x, const void *y)
{
    const struct lot_order *a = x, *b = y;
    const struct plan_seed_lot *l = &a->p->seed_lots[a->lot], *m = &b->p->seed_lots[b->lot];
    uint32_t known = known_markets(a->p);
    int c = compare_int(l->seed_item, m->seed_item);
    if (c == 0) c = compare_int(l->markets & known, m->markets & known);
    if (c == 0) c = (l->yield_factor > m->yield_factor) - (l->yield_factor < m->yield_factor);
    return c != 0 ? c : compare_int(a->lot, b->lot);
}

static void grade_close(struct plan_frame *f, struct lot_order *from, int count)
{
    struct plan_grade *g = &f->grades[f->grade_count];
    g->blend = f->blend_count - 1;
    g->yield_factor = f->p->seed_lots[from->lot].yield_factor;
    g->lot_count = count;
    g->lots = ARENA_ARRAY(f->arena, int, (size_t)count);
    qsort(from, (size_t)count, sizeof *from, by_use);
    for (int i = 0; i < count; i++) {
        g->lots[i] = from[i].lot;
        f->grade_of_lot[from[i].lot] = f->grade_count;
    }
    f->blends[g->blend].grade_count++;
    f->grade_count++;
}

static void seed_make(struct plan_frame *f)
{
    const struct plan_problem *p = f->p;
    size_t n = (size_t)p->seed_lot_count;
    uint32_t known = known_markets(p);
    struct lot_order *order = ARENA_ARRAY(f->arena, struct lot_order, n + 1);
    f->grade_of_lot = ARENA_ARRAY(f->arena, int, n + 1);
    f->lot_kg = ARENA_ARRAY(f->arena, double, n + 1);
    f->blends = ARENA_ARRAY(f->arena, struct plan_blend, n + 1);
    f->grades = ARENA_ARRAY(f->arena, struct plan_grade, n + 1);
    int count = 0;
    for (int l = 0; l < p->seed_lot_count; l++) {
        const struct plan_seed_lot *lot = &p->seed_lots[l];
        f->grade_of_lot[l] = PLAN_NONE;
        f->lot_kg[l] = lot->kg;
        if ((lot->markets & known) && lot->kg > 0 && lot->last_day >= 0 &&
            lot->from_day < p->day_count && lot->last_day >= lot->from_day)
            order[count++] = (struct lot_order){p, l};
    }
    qsort(order, (size_t)count, sizeof *order, by_grade);
    for (int i = 0; i < count;) {
        const struct plan_seed_lot *first = &p->seed_lots[order[i].lot];
        struct plan_blend *b = f->blend_count ? &f->blends[f->blend_count - 1] : NULL;
        if (!b || b->seed_item != first->seed_item || b->markets != (first->markets & known))
            f->blends[f->blend_count++] =
                (struct plan_blend){first->seed_item, first->markets & known, f->grade_count, 0};
        int end = i + 1;
        while (end < count) {
            const struct plan_seed_lot *lot = &p->seed_lots[order[end].lot];
            if (lot->seed_item != first->seed_item ||
                (lot->markets & known) != (first->markets & known) ||
                lot->yield_factor > first->yield_factor * (1 + GRADE_WIDTH))
                break;
            end++;
        }
        grade_close(f, &order[i], end - i);
        i = end;
    }
}

/* nodes */

static double end_value(const struct plan_frame *f, int crop, int harvest_day)
{
    const struct plan_problem *p = f->p;
    int life_days = 0;
    for (int i = 0; i < p->product_count; i++)
        if (plan_crop_kg(p, i, crop) > 0 && p->products[i].life_days > life_days)
            life_days = p->products[i].life_days;
    int left_days = harvest_day + life_days - (p->day_count - 1);
    if (life_days <= 0 || left_days <= 0 || p->crops[crop].end_kg_wanted <= 0) return 0;
    return p->crops[crop].end_value_per_kg * fmin(1, (double)left_days / life_days);
}

/* The node for these goods, made when new; they may leave on no day before the harvest. */
static int node_of(struct plan_frame *f, struct plan_node n)
{
    n.markets &= known_markets(f->p);
    for (int m = 0; m < PLAN_MARKETS_MAX; m++) {
        if (!(n.markets >> m & 1))
            n.ready_day[m] = PLAN_NEVER;
        else if (n.ready_day[m] < n.harvest_day)
            n.ready_day[m] = n.harvest_day;
    }
    for (int i = 0; i < f->node_count; i++) {
        const struct plan_node *have = &f->nodes[i];
        if (have->crop == n.crop && have->product == n.product && have->is_stock == n.is_stock &&
            have->harvest_day == n.harvest_day && have->markets == n.markets &&
            memcmp(have->ready_day, n.ready_day, sizeof n.ready_day) == 0)
            return i;
    }
    n.given_kg = 0;
    n.end_value = end_value(f, n.crop, n.harvest_day);
    f->nodes[f->node_count] = n;
    return f->node_count++;
}

static int node_of_harvest(struct plan_frame *f, int crop, int day, int harvest_day,
                           uint32_t markets)
{
    if (harvest_day >= f->p->day_count) return PLAN_NONE;
    struct plan_node n = {
        .crop = crop, .product = PLAN_NONE, .harvest_day = harvest_day, .markets = markets};
    for (int m = 0; m < f->p->market_count; m++)
        n.ready_day[m] = plan_ready_day(f->p, m, day);
    return node_of(f, n);
}

static const struct plan_harvest *harvests_of_start(struct plan_frame *f, int crop, int way,
                                                    int day, uint32_t markets, int *count)
{
    const struct plan_way *w = &f->p->crops[crop].ways[way];
    *count = plan_way_harvests(w);
    struct plan_harvest *list = ARENA_ARRAY(f->arena, struct plan_harvest, (size_t)*count);
    for (int i = 0; i < *count; i++) {
        int on = day + plan_way_harvest_days(w, i);
        list[i] = (struct plan_harvest){on, node_of_harvest(f, crop, day, on, markets),
                                        plan_way_share(w, i)};
    }
    return list;
}

static int node_of_running(struct plan_frame *f, const struct plan_running *r, int choice)
{
    int day = plan_running_day(r, choice);
    if (day >= f->p->day_count || r->packed_kg <= 0) return PLAN_NONE;
    struct plan_node n = {
        .crop = r->crop, .product = PLAN_NONE, .harvest_day = day, .markets = r->markets};
    memcpy(n.ready_day, r->ready_day, (size_t)f->p->market_count * sizeof *n.ready_day);
    return node_of(f, n);
}

static void running_make(struct plan_frame *f)
{
    const struct plan_problem *p = f->p;
    int choices = 0;
    for (int i = 0; i < p->running_count; i++)
        choices += p->running[i].other_count > 0 ? p->running[i].other_count + 1 : 0;
    f->node_of_running = ARENA_ARRAY(f->arena, int, (size_t)p->running_count + 1);
    f->choices = ARENA_ARRAY(f->arena, struct plan_choice, (size_t)choices + 1);
    f->first_choice = ARENA_ARRAY(f->arena, int, (size_t)p->running_count + 1);
    for (int i = 0; i < p->running_count; i++) {
        const struct plan_running *r = &p->running[i];
        double told_kg = plan_running_kg(r, r->told);
        f->node_of_running[i] = node_of_running(f, r, r->told);
        if (plan_running_day(r, r->told) >= p->day_count)
            f->fixed_end_kg[r->crop] += told_kg;
        else if (told_kg > 0)
            f->nodes[f->node_of_running[i]].given_kg += told_kg;
        for (int c = 0; r->other_count > 0 && c <= r->other_count; c++)
            f->choices[f->choice_count++] = (struct plan_choice){
                i, c, plan_running_day(r, c), plan_running_kg(r, c), node_of_running(f, r, c)};
        f->first_choice[i + 1] = f->choice_count;
    }
}

static void given_make(struct plan_frame *f)
{
    const struct plan_problem *p = f->p;
    f->node_of_stock = ARENA_ARRAY(f->arena, int, (size_t)p->stock_count + 1);
    running_make(f);
    for (int i = 0; i < p->stock_count; i++) {
        const struct plan_stock *s = &p->stock[i];
        struct plan_node n = {.crop = s->crop,
                              .product = s->product,
                              .is_stock = true,
                              .harvest_day = s->harvest_day,
                              .markets = s->markets};
        memcpy(n.ready_day, s->ready_day, (size_t)p->market_count * sizeof *n.ready_day);
        f->node_of_stock[i] = node_of(f, n);
        f->nodes[f->node_of_stock[i]].given_kg += s->kg;
    }
}

/* fixed starts */

static int *busy(struct plan_frame *f, int pool, int day)
{
    return &f->busy_fixed[pool * f->span_days + day];
}

static void part_take(struct plan_frame *f, int lot, int day, double *need_kg,
                      struct plan_fixed *out)
{
    for (int i = 0; i < out->part_count; i++)
        if (out->parts[i].lot == lot) return;
    double kg = fmin(*need_kg, f->lot_kg[lot]);
    if (kg <= 1e-9 || !plan_lot_usable(&f->p->seed_lots[lot], day)) return;
    out->parts[out->part_count++] = (struct plan_seed_part){lot, kg};
    *need_kg -= kg;
}

/* Taken starts are told in whole grams and weighed out less closely still: what is missing below
 * this share of a start keeps nobody from making it (common practice). */
static const double SEED_MISSED_SHARE = 0.001;

static bool blend_covers(struct plan_frame *f, const struct plan_taken *t, int blend,
                         struct plan_fixed *out)
{
    const struct plan_blend *b = &f->blends[blend];
    if (b->seed_item != f->p->crops[t->crop].seed_item) return false;
    double need_kg = t->seed_kg;
    out->part_count = 0;
    out->markets = b->markets;
    int named = t->seed_lot;
    if (named != PLAN_NONE && f->grade_of_lot[named] != PLAN_NONE &&
        f->grades[f->grade_of_lot[named]].blend == blend)
        part_take(f, named, t->day, &need_kg, out);
    for (int g = b->first_grade; g < b->first_grade + b->grade_count; g++)
        for (int i = 0; i < f->grades[g].lot_count; i++)
            part_take(f, f->grades[g].lots[i], t->day, &need_kg, out);
    return need_kg <= SEED_MISSED_SHARE * t->seed_kg;
}

/* The named lot and its like first; any other seed that will do rather than none. */
static bool fixed_seed(struct plan_frame *f, const struct plan_taken *t, struct plan_fixed *out)
{
    int named = t->seed_lot == PLAN_NONE ? PLAN_NONE : f->grade_of_lot[t->seed_lot];
    if (named != PLAN_NONE && blend_covers(f, t, f->grades[named].blend, out)) return true;
    for (int b = 0; b < f->blend_count; b++)
        if (blend_covers(f, t, b, out)) return true;
    return false;
}

static void fixed_book(struct plan_frame *f, struct plan_fixed *x)
{
    const struct plan_problem *p = f->p;
    const struct plan_taken *t = &p->taken[x->taken];
    for (int d = t->day; d < x->last_day + p->cleaning_days; d++)
        ++*busy(f, x->pool, d);
    x->packed_kg = 0;
    for (int i = 0; i < x->part_count; i++) {
        const struct plan_seed_lot *lot = &p->seed_lots[x->parts[i].lot];
        f->lot_kg[x->parts[i].lot] -= x->parts[i].kg;
        x->packed_kg +=
            x->parts[i].kg * lot->yield_factor * plan_way_yield(&p->crops[t->crop].ways[t->way]);
    }
    x->harvests = harvests_of_start(f, t->crop, t->way, t->day, x->markets, &x->harvest_count);
    for (int i = 0; i < x->harvest_count; i++) {
        const struct plan_harvest *h = &x->harvests[i];
        *(h->node == PLAN_NONE ? &f->fixed_end_kg[t->crop] : &f->nodes[h->node].given_kg) +=
            x->packed_kg * h->share;
    }
    f->fixed_count++;
}

static void fixed_make(struct plan_frame *f)
{
    const struct plan_problem *p = f->p;
    f->fixed = ARENA_ARRAY(f->arena, struct plan_fixed, (size_t)p->taken_count + 1);
    f->drops = ARENA_ARRAY(f->arena, struct plan_drop, (size_t)p->taken_count + 1);
    for (int day = 0; day < p->frozen_days; day++) {
        for (int i = 0; i < p->taken_count; i++) {
            const struct plan_taken *t = &p->taken[i];
            if (t->day != day) continue;
            struct plan_fixed *x = &f->fixed[f->fixed_count];
            *x = (struct plan_fixed){.taken = i,
                                     .pool = f->pool_of_chamber[t->chamber],
                                     .last_day =
                                         day + plan_way_days(&p->crops[t->crop].ways[t->way])};
            x->parts = ARENA_ARRAY(f->arena, struct plan_seed_part, (size_t)p->seed_lot_count + 1);
            bool room = true;
            for (int d = day; d < x->last_day + p->cleaning_days; d++)
                if (*busy(f, x->pool, d) >= f->pools[x->pool].usable[d]) room = false;
            if (room && fixed_seed(f, t, x))
                fixed_book(f, x);
            else
                f->drops[f->drop_count++] =
                    (struct plan_drop){i, room ? PLAN_DROP_SEED : PLAN_DROP_CHAMBER};
        }
    }
}

static void wishes_make(struct plan_frame *f)
{
    const struct plan_problem *p = f->p;
    f->wishes = ARENA_ARRAY(f->arena, struct plan_wish, (size_t)p->taken_count + 1);
    for (int i = 0; i < p->taken_count; i++) {
        const struct plan_taken *t = &p->taken[i];
        if (t->day < p->frozen_days) continue;
        struct plan_wish w = {t->day, t->crop, t->way, f->pool_of_chamber[t->chamber], 1};
        int at = 0;
        while (at < f->wish_count && (f->wishes[at].day != w.day || f->wishes[at].crop != w.crop ||
                                      f->wishes[at].way != w.way || f->wishes[at].pool != w.pool))
            at++;
        if (at < f->wish_count)
            f->wishes[at].count++;
        else
            f->wishes[f->wish_count++] = w;
    }
}

/* options */

int plan_dropped(const struct plan_frame *f, int day, int crop)
{
    int count = 0;
    for (int i = 0; i < f->drop_count; i++) {
        const struct plan_taken *t = &f->p->taken[f->drops[i].taken];
        count += t->day == day && t->crop == crop;
    }
    return count;
}

static bool room_for_one(const struct plan_frame *f, const struct plan_option *o)
{
    for (int d = o->day; d < o->last_day + f->p->cleaning_days; d++)
        if (f->pools[o->pool].most[d] - f->busy_fixed[o->pool * f->span_days + d] < 1) return false;
    return true;
}

static bool seed_on_day(const struct plan_frame *f, int blend, int day)
{
    const struct plan_blend *b = &f->blends[blend];
    for (int g = b->first_grade; g < b->first_grade + b->grade_count; g++)
        for (int i = 0; i < f->grades[g].lot_count; i++)
            if (plan_lot_usable(&f->p->seed_lots[f->grades[g].lots[i]], day) &&
                f->lot_kg[f->grades[g].lots[i]] > 1e-9)
                return true;
    return false;
}

static void option_add(struct plan_frame *f, struct plan_option o)
{
    const struct plan_crop *crop = &f->p->crops[o.crop];
    if (!room_for_one(f, &o) || !seed_on_day(f, o.blend, o.day)) return;
    const struct plan_blend *b = &f->blends[o.blend];
    o.harvests = harvests_of_start(f, o.crop, o.way, o.day, b->markets, &o.harvest_count);
    o.harvest_day = o.harvests[0].day;
    o.node = o.harvests[0].node;
    /* harvested after the last day, it is worth nothing where nothing is wanted to stand */
    if (o.node == PLAN_NONE && (crop->end_kg_wanted <= 0 || crop->end_value_per_kg <= 0)) return;
    o.first_fill = f->fill_count;
    for (int g = 0; g < b->grade_count; g++)
        f->fills[f->fill_count++] = (struct plan_fill_at){
            f->option_count, b->first_grade + g,
            f->grades[b->first_grade + g].yield_factor * plan_way_yield(&crop->ways[o.way])};
    f->options[f->option_count++] = o;
}

static void options_make(struct plan_frame *f)
{
    const struct plan_problem *p = f->p;
    for (int day = 0; day < p->day_count; day++) {
        for (int k = 0; k < p->crop_count; k++) {
            bool frozen = day < p->frozen_days;
            if (frozen && plan_dropped(f, day, k) == 0) continue;
            for (int w = 0; w < p->crops[k].way_count; w++)
                for (int q = 0; q < f->pool_count; q++)
                    for (int b = 0; b < f->blend_count; b++) {
                        const struct plan_fill *fill = &p->crops[k].fills[f->pools[q].class_index];
                        const struct plan_way *way = &p->crops[k].ways[w];
                        if (f->blends[b].seed_item != p->crops[k].seed_item ||
                            fill->seed_max_kg <= 0)
                            continue;
                        option_add(f, (struct plan_option){.day = day,
                                                           .crop = k,
                                                           .way = w,
                                                           .pool = q,
                                                           .blend = b,
                                                           .last_day = day + plan_way_days(way),
                                                           .seed_min_kg = way->part_count > 0
                                                                              ? fill->seed_max_kg
                                                                              : fill->seed_min_kg,
                                                           .seed_max_kg = fill->seed_max_kg,
                                                           .is_replacement = frozen});
                    }
        }
    }
}

/* cells */

/* Crops whose wants must be told apart by product: packs are there, or what is given instead is of
 * another crop or keeps longer. */
static bool *crops_by_product(const struct plan_frame *f)
{
    const struct plan_problem *p = f->p;
    bool *by_product = ARENA_ARRAY(f->arena, bool, (size_t)p->crop_count + 1);
    for (int i = 0; i < p->stock_count; i++)
        if (p->stock[i].product != PLAN_NONE && p->stock[i].kg > 0)
            by_product[p->stock[i].crop] = true;
    for (int i = 0; i < p->swap_count; i++) {
        const struct plan_product *from = &p->products[p->swaps[i].from_product];
        const struct plan_product *to = &p->products[p->swaps[i].to_product];
        if (to->crop != from->crop || to->life_days > from->life_days)
            by_product[from->crop] = true;
    }
    return by_product;
}

static uint32_t swaps_of(struct plan_frame *f, const struct plan_line *line)
{
    const struct plan_problem *p = f->p;
    uint32_t swaps = 0;
    for (int i = 0; i < p->swap_count; i++) {
        if (!plan_swap_suits(p, i, line)) continue;
        swaps |= 1u << i;
        double ordered = plan_piece_units(f, p->swaps[i].from_product);
        double given = plan_piece_units(f, p->swaps[i].to_product);
        f->has_uneven_swap |= fabs(given - ordered) > 1e-9 * ordered;
    }
    return swaps;
}

/* Most cells that the lines ask for. */
static size_t cell_room(const struct plan_problem *p)
{
    int room = 0;
    for (int i = 0; i < p->line_count; i++) {
        int with = p->products[p->lines[i].product].with_count;
        room += with > 0 ? (1 + with) * plan_dish_days(p, &p->lines[i]) : 1;
    }
    return (size_t)room + 1;
}

static void cells_make(struct plan_frame *f)
{
    const struct plan_problem *p = f->p;
    f->cells = ARENA_ARRAY(f->arena, struct plan_cell, cell_room(p));
    f->cell_of_line = ARENA_ARRAY(f->arena, int, (size_t)p->line_count + 1);
    const bool *by_product = crops_by_product(f);
    for (int i = 0; i < p->line_count; i++) {
        const struct plan_line *line = &p->lines[i];
        f->cell_of_line[i] = PLAN_NONE;
        if (line->pieces == 0) continue;
        int crop = p->products[line->product].crop;
        bool is_dish = p->products[line->product].with_count > 0;
        struct plan_cell c = {.crop = crop,
                              .product = by_product[crop] || is_dish ? line->product : PLAN_NONE,
                              .mix = f->mix_of_product[line->product],
                              .day = line->day,
                              .market = p->groups[line->group].market,
                              .oldest_harvest_day = plan_oldest_harvest_day(p, line),
                              .late_days = p->groups[line->group].late_days,
                              .late_cost_per_kg_day = p->groups[line->group].late_cost_per_kg_day,
                              .swaps = by_product[crop] ? swaps_of(f, line) : 0,
                              .shortage_cost_per_kg = line->shortage_cost_per_kg,
                              .want = f->cell_count,
                              .later = PLAN_NONE,
                              .dish = PLAN_NONE,
                              .own = PLAN_NONE,
                              .worth_per_kg = plan_line_worth(p, line)};
        int at = 0;
        while (at < f->cell_count) {
            const struct plan_cell *x = &f->cells[at];
            if (x->crop == c.crop && x->product == c.product && x->mix == c.mix &&
                x->day == c.day && x->market == c.market &&
                x->oldest_harvest_day == c.oldest_harvest_day &&
                x->shortage_cost_per_kg == c.shortage_cost_per_kg && x->late_days == c.late_days &&
                x->late_cost_per_kg_day == c.late_cost_per_kg_day && x->swaps == c.swaps)
                break;
            at++;
        }
        if (at == f->cell_count) f->cells[f->cell_count++] = c;
        f->cells[at].kg += plan_line_kg(p, line);
        f->cell_of_line[i] = at;
    }
}

static void prices_make(struct plan_frame *f)
{
    for (int g = 0; g < f->grade_count; g++) {
        double cost = 0, kg = 0;
        for (int i = 0; i < f->grades[g].lot_count; i++) {
            int lot = f->grades[g].lots[i];
            cost += f->lot_kg[lot] * f->p->seed_lots[lot].cost_per_kg;
            kg += f->lot_kg[lot];
        }
        f->grades[g].cost_per_kg = kg > 0 ? cost / kg : 0;
    }
}

struct plan_frame *plan_frame_make(struct arena *a, const struct plan_problem *p)
{
    struct plan_frame *f = ARENA_NEW(a, struct plan_frame);
    f->p = p;
    f->arena = a;
    int longest_days = 0;
    size_t ways = 0, harvests = 0;
    for (int k = 0; k < p->crop_count; k++)
        for (int w = 0; w < p->crops[k].way_count; w++, ways++) {
            const struct plan_way *way = &p->crops[k].ways[w];
            if (plan_way_days(way) > longest_days) longest_days = plan_way_days(way);
            harvests += (size_t)plan_way_harvests(way);
        }
    f->span_days = p->day_count + longest_days + p->cleaning_days;
    f->fixed_end_kg = ARENA_ARRAY(a, double, (size_t)p->crop_count + 1);
    plan_pools_make(f);
    seed_make(f);
    size_t option_room =
        (size_t)p->day_count * ways * (size_t)f->pool_count * (size_t)f->blend_count;
    f->busy_fixed = ARENA_ARRAY(a, int, (size_t)f->pool_count *(size_t)f->span_days + 1);
    f->options = ARENA_ARRAY(a, struct plan_option, option_room + 1);
    f->fills = ARENA_ARRAY(a, struct plan_fill_at, option_room * (size_t)f->grade_count + 1);
    f->nodes = ARENA_ARRAY(
        a, struct plan_node,
        (size_t)p->day_count * harvests * (size_t)f->pool_count * (size_t)f->blend_count +
            (size_t)(p->running_count * (PLAN_OTHERS_MAX + 1)) + (size_t)p->stock_count +
            (size_t)p->taken_count * PLAN_PARTS_MAX + 1);
    given_make(f);
    fixed_make(f);
    prices_make(f);
    wishes_make(f);
    options_make(f);
    plan_mixes_make(f);
    plan_ties_make(f);
    cells_make(f);
    plan_dishes_make(f);
    return f;
}
