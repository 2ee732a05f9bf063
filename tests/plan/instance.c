#include "instance.h"

#include <limits.h>
#include <math.h>
#include <string.h>

#include "base/random.h"

/* What all of them share. */
#define ALIKE                                                                                \
    .days = 14, .crops = 2, .groups = 3, .classes = 2, .chambers = 6, .lots = 5, .taken = 4, \
    .frozen_days = 2, .outages = true, .laboratory = true, .day_limits = true, .end_wanted = true

const struct instance_size instance_small = {ALIKE, .running = 3, .stock = 3, .swaps = true,
                                             .parts = true};

const struct instance_size instance_choices = {ALIKE,         .running = 4,  .stock = 2,
                                               .swaps = true, .parts = true, .choices = true};

const struct instance_size instance_dishes = {ALIKE, .running = 3, .stock = 3, .dishes = true};

const struct instance_size instance_bowls = {ALIKE, .running = 3, .stock = 3, .dishes = true,
                                             .bowls = true};

const struct instance_size instance_across = {ALIKE,         .running = 3,  .stock = 3,
                                              .swaps = true, .parts = true, .across = true};

const struct instance_size instance_plain = {
    .days = 12, .crops = 1, .groups = 1, .classes = 1, .chambers = 3, .lots = 1};

struct making {
    struct arena *a;
    struct random r;
    const struct instance_size *size;
    struct plan_problem *p;
};

static int pick(struct making *m, int low, int high)
{
    return low + (int)random_below(&m->r, (uint64_t)(high - low + 1));
}

static double between(struct making *m, double low, double high)
{
    /* two decimals, so that LP text carries them exactly */
    return round((low + (high - low) * random_unit(&m->r)) * 100) / 100;
}

static uint32_t some_markets(struct making *m)
{
    return (uint32_t)pick(m, 1, (1 << m->p->market_count) - 1);
}

static const char *code(struct making *m, const char *stem, int index)
{
    return arena_printf(m->a, "%s-%d", stem, index + 1);
}

static void make_sides(struct making *m)
{
    struct plan_problem *p = m->p;
    p->market_count = m->size->laboratory ? 2 : 1;
    struct plan_market *markets = ARENA_ARRAY(m->a, struct plan_market, 2);
    for (int i = 0; i < p->market_count; i++) {
        markets[i].code = code(m, "market", i);
        if (!m->size->laboratory) continue;
        markets[i].sample_age_h = 48;
        markets[i].transit_h = 4;
        markets[i].laboratory_h = i == 0 ? 24 : 72;
        markets[i].retest_h = i == 0 ? 48 : 30;
    }
    p->markets = markets;
    p->retest_planned = m->size->retests;
    p->group_count = m->size->groups;
    struct plan_group *groups = ARENA_ARRAY(m->a, struct plan_group, (size_t)p->group_count);
    for (int i = 0; i < p->group_count; i++)
        groups[i] = (struct plan_group){code(m, "group", i),
                                        pick(m, 0, p->market_count - 1),
                                        pick(m, 1, 3),
                                        pick(m, 1, 9),
                                        0,
                                        0};
    for (int i = 1; i < p->group_count; i += 2) {
        groups[i].late_days = pick(m, 0, 2);
        groups[i].late_cost_per_kg_day = between(m, 0.3, 1.2);
    }
    p->groups = groups;
    p->class_count = m->size->classes;
    struct plan_class *classes = ARENA_ARRAY(m->a, struct plan_class, (size_t)p->class_count);
    for (int i = 0; i < p->class_count; i++)
        classes[i].code = code(m, "class", i);
    p->classes = classes;
}

/* Into each dish the next crop, as much as a third or all of its own. */
static void make_bowls(struct making *m, struct plan_product *products)
{
    const struct plan_problem *p = m->p;
    struct plan_with *with =
        ARENA_ARRAY(m->a, struct plan_with, (size_t)(p->product_count - p->crop_count));
    for (int k = p->crop_count; k < p->product_count; k++, with++) {
        *with = (struct plan_with){(products[k].crop + 1) % p->crop_count, between(m, 0.05, 0.2)};
        products[k].with = with;
        products[k].with_count = 1;
    }
}

static void make_crops(struct making *m)
{
    struct plan_problem *p = m->p;
    p->crop_count = p->seed_item_count = m->size->crops;
    p->product_count = p->crop_count * (m->size->dishes ? 2 : 1);
    const char **items = ARENA_ARRAY(m->a, const char *, (size_t)p->crop_count);
    struct plan_crop *crops = ARENA_ARRAY(m->a, struct plan_crop, (size_t)p->crop_count);
    struct plan_product *products =
        ARENA_ARRAY(m->a, struct plan_product, (size_t)p->product_count);
    for (int k = 0; k < p->crop_count; k++) {
        struct plan_way *ways = ARENA_ARRAY(m->a, struct plan_way, 2);
        struct plan_fill *fills = ARENA_ARRAY(m->a, struct plan_fill, (size_t)p->class_count);
        int days = pick(m, 3, 5);
        for (int w = 0; w < 2; w++)
            ways[w] =
                (struct plan_way){code(m, "regime", w), days + w, between(m, 4, 6), NULL, 0, 0};
        for (int c = 0; c < p->class_count; c++) {
            double most = between(m, 20, 40);
            fills[c] = (struct plan_fill){round(most * 50) / 100, most};
        }
        if (k == 1 && p->class_count > 1) fills[0] = (struct plan_fill){0, 0};
        items[k] = code(m, "seed", k);
        crops[k] = (struct plan_crop){.code = code(m, "crop", k),
                                      .seed_item = k,
                                      .ways = ways,
                                      .way_count = 2,
                                      .fills = fills,
                                      .bed_kg_per_packed_kg = between(m, 1.1, 1.4),
                                      .start_cost = between(m, 20, 60),
                                      .waste_cost_per_kg = 0.15,
                                      .hold_cost_per_kg_day = 0.02};
        if (m->size->end_wanted) {
            crops[k].end_kg_wanted = between(m, 50, 200);
            crops[k].end_value_per_kg = between(m, 0.5, 1.5);
        }
        products[k] = (struct plan_product){
            code(m, "pack", k), k, between(m, 0.2, 0.5), pick(m, 4, 6), 0, NULL, 0};
    }
    for (int k = p->crop_count; k < p->product_count; k++)
        products[k] = (struct plan_product){code(m, "dish", k),
                                            k - p->crop_count,
                                            between(m, 0.3, 0.5),
                                            pick(m, 3, 6),
                                            between(m, 0.1, 0.25),
                                            NULL,
                                            0};
    p->seed_items = items;
    p->crops = crops;
    p->products = products;
    if (m->size->bowls) make_bowls(m, products);
}

static void make_chambers(struct making *m)
{
    struct plan_problem *p = m->p;
    p->chamber_count = m->size->chambers;
    struct plan_chamber *chambers =
        ARENA_ARRAY(m->a, struct plan_chamber, (size_t)p->chamber_count);
    for (int c = 0; c < p->chamber_count; c++) {
        chambers[c] = (struct plan_chamber){.code = code(m, "radicle", c),
                                            .class_index = c % p->class_count,
                                            .idle_since_day = -pick(m, 0, 5)};
        if (!m->size->outages || c % 3 != 2) continue;
        struct plan_outage *out = ARENA_NEW(m->a, struct plan_outage);
        out->from_day = pick(m, 0, m->size->days);
        out->to_day = out->from_day + pick(m, 0, 3);
        chambers[c].outages = out;
        chambers[c].outage_count = 1;
    }
    p->chambers = chambers;
    p->running_count = m->size->running;
    struct plan_running *running = ARENA_ARRAY(m->a, struct plan_running, (size_t)p->running_count);
    for (int i = 0; i < p->running_count; i++) {
        int *ready = ARENA_ARRAY(m->a, int, PLAN_MARKETS_MAX);
        for (int k = 0; k < p->market_count; k++)
            ready[k] = pick(m, 0, 4);
        if (pick(m, 0, 4) == 0) ready[0] = PLAN_NEVER;
        running[i] = (struct plan_running){code(m, "lot", i),
                                           i,
                                           pick(m, 0, p->crop_count - 1),
                                           pick(m, 0, 4),
                                           between(m, 80, 160),
                                           some_markets(m),
                                           ready,
                                           NULL,
                                           0,
                                           0,
                                           0,
                                           NULL,
                                           NULL,
                                           false,
                                           0};
    }
    p->running = running;
    p->stock_count = m->size->stock;
    struct plan_stock *stock = ARENA_ARRAY(m->a, struct plan_stock, (size_t)p->stock_count);
    for (int i = 0; i < p->stock_count; i++) {
        int *ready = ARENA_ARRAY(m->a, int, PLAN_MARKETS_MAX);
        int crop = pick(m, 0, p->crop_count - 1);
        stock[i] = (struct plan_stock){code(m, "stock", i),
                                       crop,
                                       i % 2 ? crop : PLAN_NONE,
                                       -pick(m, 0, 2),
                                       between(m, 10, 40),
                                       some_markets(m),
                                       ready,
                                       NULL,
                                       NULL,
                                       NULL};
    }
    p->stock = stock;
}

static void make_seed(struct making *m)
{
    struct plan_problem *p = m->p;
    p->seed_lot_count = m->size->lots;
    struct plan_seed_lot *lots = ARENA_ARRAY(m->a, struct plan_seed_lot, (size_t)p->seed_lot_count);
    for (int i = 0; i < p->seed_lot_count; i++) {
        int from = i < p->crop_count ? 0 : pick(m, -3, 5);
        /* factors more than a grade's width apart or equal, one price an item: the cost is then the
         * same in lots and grades */
        lots[i] = (struct plan_seed_lot){code(m, "seed-lot", i),
                                         i % p->crop_count,
                                         between(m, 30, 160),
                                         from,
                                         from + pick(m, 4, 12),
                                         i < p->crop_count ? (1u << p->market_count) - 1
                                                           : some_markets(m),
                                         1 - 0.05 * pick(m, 0, 2),
                                         2.2,
                                         20000 + i};
    }
    p->seed_lots = lots;
    p->taken_count = m->size->taken;
    struct plan_taken *taken = ARENA_ARRAY(m->a, struct plan_taken, (size_t)p->taken_count);
    for (int i = 0; i < p->taken_count; i++) {
        int crop = pick(m, 0, p->crop_count - 1), chamber = pick(m, 0, p->chamber_count - 1);
        int class_index = p->chambers[chamber].class_index;
        if (p->crops[crop].fills[class_index].seed_max_kg <= 0) crop = 0;
        const struct plan_fill *fill = &p->crops[crop].fills[class_index];
        taken[i] =
            (struct plan_taken){pick(m, 0, 3),
                                chamber,
                                crop,
                                pick(m, 0, 1),
                                fill->seed_max_kg,
                                pick(m, 0, 1) ? PLAN_NONE : pick(m, 0, p->seed_lot_count - 1)};
    }
    p->taken = taken;
    p->frozen_days = m->size->frozen_days;
    p->change_cost = 25;
}

static void make_days(struct making *m)
{
    struct plan_problem *p = m->p;
    struct plan_day *days = ARENA_ARRAY(m->a, struct plan_day, (size_t)p->day_count);
    for (int d = 0; d < p->day_count; d++) {
        days[d] =
            (struct plan_day){INFINITY, INFINITY, INFINITY, INFINITY, INFINITY, INT_MAX, INT_MAX};
        if (!m->size->day_limits) continue;
        days[d] = (struct plan_day){
            between(m, 40, 90),   between(m, 40, 90), between(m, 150, 400), between(m, 150, 400),
            between(m, 100, 350), pick(m, 1, 3),      pick(m, 1, 3)};
    }
    p->days = days;
    if (!m->size->day_limits) return;
    struct plan_work *work = ARENA_NEW(m->a, struct plan_work);
    double *per_kg = ARENA_ARRAY(m->a, double, (size_t)p->crop_count);
    double *limit = ARENA_ARRAY(m->a, double, (size_t)p->day_count);
    for (int k = 0; k < p->crop_count; k++)
        per_kg[k] = between(m, 0, 0.05);
    for (int d = 0; d < p->day_count; d++)
        limit[d] = pick(m, 0, 3) == 0 ? INFINITY : between(m, 3, 12);
    *work = (struct plan_work){"hours", per_kg, limit};
    p->works = work;
    p->work_count = 1;
}

static void make_ingredients(struct making *m)
{
    struct plan_problem *p = m->p;
    if (!m->size->dishes) return;
    p->ingredient_count = 2;
    struct plan_ingredient *list = ARENA_ARRAY(m->a, struct plan_ingredient, 2);
    for (int i = 0; i < 2; i++) {
        double *per_piece = ARENA_ARRAY(m->a, double, (size_t)p->product_count);
        struct plan_ingredient_lot *lots = ARENA_ARRAY(m->a, struct plan_ingredient_lot, 3);
        /* the second goes into everything, as a tray does */
        for (int k = i == 0 ? p->crop_count : 0; k < p->product_count; k++)
            per_piece[k] = between(m, 0.01, 0.06);
        for (int l = 0; l < 3; l++) {
            int from = pick(m, -2, 8);
            lots[l] = (struct plan_ingredient_lot){between(m, 2, i == 0 ? 30 : 90), from,
                                                   from + pick(m, 1, 10)};
        }
        list[i] = (struct plan_ingredient){code(m, "ingredient", i), per_piece, lots, 3};
    }
    p->ingredients = list;
}

static void make_lines(struct making *m)
{
    struct plan_problem *p = m->p;
    double capacity_kg = p->chamber_count * 30.0 * 5 / 6;
    int most = p->day_count * p->product_count * p->group_count * 2;
    struct plan_line *lines = ARENA_ARRAY(m->a, struct plan_line, (size_t)most);
    for (int d = 0; d < p->day_count; d++)
        for (int i = 0; i < p->product_count; i++)
            for (int g = 0; g < p->group_count; g++) {
                double kg =
                    capacity_kg / (p->product_count * p->group_count) * between(m, 0.5, 1.5);
                int64_t pieces = (int64_t)(kg / p->products[i].net_kg);
                bool booked = d < 6;
                double cost = (2 + 0.25 * (9 - p->groups[g].priority)) * (booked ? 2 : 1);
                lines[p->line_count++] =
                    (struct plan_line){booked ? code(m, "order", p->line_count) : NULL,
                                       i,
                                       g,
                                       d,
                                       pieces,
                                       booked ? 0 : 3,
                                       cost,
                                       NULL,
                                       0};
                if (booked && pick(m, 0, 2) == 0)
                    lines[p->line_count++] = (struct plan_line){
                        code(m, "order", p->line_count), i, g, d, pick(m, 0, 40), 0, cost, NULL, 0};
            }
    p->lines = lines;
}

/* Every sixth day nothing leaves; on the day before, nothing is started, harvested or packed. */
static void shut_days(struct making *m)
{
    struct plan_problem *p = m->p;
    bool *is_shut = ARENA_ARRAY(m->a, bool, (size_t)p->day_count);
    struct plan_day *days = ARENA_ARRAY(m->a, struct plan_day, (size_t)p->day_count);
    for (int d = 0; d < p->day_count; d++) {
        is_shut[d] = d % 6 == 4;
        days[d] = d % 6 == 3 ? (struct plan_day){0, 0, 0, 0, 0, 0, 0} : p->days[d];
    }
    p->is_shut = is_shut;
    p->days = days;
}

/* A second pack of the first crop, heavier or not, longer or shorter of life: some of the stock is
 * packed as it, some lines want it, and some groups take one for the other. */
static void make_swaps(struct making *m)
{
    struct plan_problem *p = m->p;
    if (!m->size->swaps || m->size->dishes || pick(m, 0, 1) == 0) return;
    int second = p->product_count++;
    struct plan_product *products = ARENA_ARRAY(m->a, struct plan_product, (size_t)second + 1);
    memcpy(products, p->products, (size_t)second * sizeof *products);
    products[second] =
        (struct plan_product){"second-pack",
                              0,
                              pick(m, 0, 1) ? products[0].net_kg : between(m, 0.2, 0.5),
                              pick(m, 3, 7),
                              0,
                              NULL,
                              0};
    struct plan_stock *stock = ARENA_ARRAY(m->a, struct plan_stock, (size_t)p->stock_count + 1);
    struct plan_line *lines = ARENA_ARRAY(m->a, struct plan_line, (size_t)p->line_count + 1);
    if (p->stock_count > 0) memcpy(stock, p->stock, (size_t)p->stock_count * sizeof *stock);
    memcpy(lines, p->lines, (size_t)p->line_count * sizeof *lines);
    for (int i = 0; i < p->stock_count; i++)
        if (stock[i].crop == 0 && pick(m, 0, 1) == 0) stock[i].product = second;
    for (int i = 0; i < p->line_count; i++)
        if (lines[i].product == 0 && pick(m, 0, 3) == 0) lines[i].product = second;
    bool *groups = ARENA_ARRAY(m->a, bool, (size_t)p->group_count + 1);
    for (int g = 0; g < p->group_count; g++)
        groups[g] = pick(m, 0, 1) == 0;
    struct plan_swap *swaps = ARENA_ARRAY(m->a, struct plan_swap, 2);
    swaps[0] = (struct plan_swap){0, second, between(m, 0, 0.4), NULL};
    swaps[1] = (struct plan_swap){second, 0, between(m, 0, 0.4), groups};
    p->products = products;
    p->stock = stock;
    p->lines = lines;
    p->swaps = swaps;
    p->swap_count = 2;
}

/* The first crop's pack for the second's, and now and then the other way round; now and then of one
 * weight, or to some groups alone. */
static void make_across(struct making *m)
{
    struct plan_problem *p = m->p;
    if (!m->size->across) return;
    int count = p->swap_count + 1 + pick(m, 0, 1);
    struct plan_swap *swaps = ARENA_ARRAY(m->a, struct plan_swap, (size_t)count);
    struct plan_product *products =
        ARENA_ARRAY(m->a, struct plan_product, (size_t)p->product_count);
    bool *groups = ARENA_ARRAY(m->a, bool, (size_t)p->group_count + 1);
    memcpy(products, p->products, (size_t)p->product_count * sizeof *products);
    if (p->swap_count > 0) memcpy(swaps, p->swaps, (size_t)p->swap_count * sizeof *swaps);
    for (int g = 0; g < p->group_count; g++)
        groups[g] = pick(m, 0, 2) > 0;
    if (pick(m, 0, 1) == 0) products[1].net_kg = products[0].net_kg;
    for (int i = p->swap_count; i < count; i++) {
        int from = i == p->swap_count ? 1 : 0;
        swaps[i] =
            (struct plan_swap){from, 1 - from, between(m, 0, 0.8), pick(m, 0, 1) ? groups : NULL};
    }
    p->swaps = swaps;
    p->swap_count = count;
    p->products = products;
}

/* One way of a crop harvested in two or three parts. */
static void make_parts(struct making *m)
{
    struct plan_problem *p = m->p;
    if (!m->size->parts || pick(m, 0, 1) == 0) return;
    int crop = pick(m, 0, p->crop_count - 1), count = pick(m, 2, 3);
    struct plan_crop *crops = ARENA_ARRAY(m->a, struct plan_crop, (size_t)p->crop_count);
    struct plan_way *ways = ARENA_ARRAY(m->a, struct plan_way, 2);
    struct plan_part *parts = ARENA_ARRAY(m->a, struct plan_part, 3);
    memcpy(crops, p->crops, (size_t)p->crop_count * sizeof *crops);
    memcpy(ways, crops[crop].ways, 2 * sizeof *ways);
    parts[0] = (struct plan_part){0, count == 2 ? 0.5 : 0.25, 1};
    parts[1] = (struct plan_part){pick(m, 1, 2), count == 2 ? 0.5 : 0.25, 1.1};
    parts[2] = (struct plan_part){3, 0.5, 0.8};
    ways[pick(m, 0, 1)].parts = parts;
    for (int w = 0; w < 2; w++)
        ways[w].part_count = ways[w].parts ? count : 0;
    crops[crop].ways = ways;
    p->crops = crops;
}

/* One to three other days, near the forecast, before or after it; now and then one is told. */
static void make_choices(struct making *m)
{
    struct plan_problem *p = m->p;
    if (!m->size->choices) return;
    struct plan_running *running = ARENA_ARRAY(m->a, struct plan_running, (size_t)p->running_count);
    memcpy(running, p->running, (size_t)p->running_count * sizeof *running);
    for (int i = 0; i < p->running_count; i++) {
        struct plan_other *others = ARENA_ARRAY(m->a, struct plan_other, 3);
        int count = pick(m, 0, 3), day = running[i].harvest_day - 2;
        for (int c = 0; c < count; c++) {
            day += pick(m, 1, 2);
            if (day < 0) day = 0;
            others[c] =
                (struct plan_other){day, between(m, 0.7, 1.1), day - running[i].harvest_day};
        }
        running[i].others = others;
        running[i].other_count = count;
        if (pick(m, 0, 2) == 0) running[i].told = pick(m, 0, count);
    }
    p->running = running;
    p->change_cost = 5;
}

struct plan_problem *instance_make(struct arena *a, uint64_t seed, const struct instance_size *size)
{
    struct making m = {.a = a, .size = size, .p = ARENA_NEW(a, struct plan_problem)};
    random_seed(&m.r, seed);
    m.p->first_day = 20500;
    m.p->day_count = size->days;
    m.p->cleaning_days = pick(&m, 1, 2);
    m.p->soak_hour = 8;
    m.p->dispatch_hour = 14;
    make_sides(&m);
    make_crops(&m);
    make_chambers(&m);
    make_seed(&m);
    make_days(&m);
    make_ingredients(&m);
    make_lines(&m);
    make_swaps(&m);
    make_across(&m);
    make_parts(&m);
    make_choices(&m);
    if (size->shut) shut_days(&m);
    return m.p;
}

void handmade_init(struct handmade *h)
{
    *h = (struct handmade){.market = {"home", 0, 0, 0, 0},
                           .group = {"shops", 0, 1, 5},
                           .ways = {{"steady", 4, 5, NULL, 0, 0}, {"slow", 6, 5, NULL, 0, 0}},
                           .fills = {{10, 20}, {10, 20}},
                           .product = {"pack", 0, 1, 3, 0, NULL, 0},
                           .classes = {{"tall"}, {"low"}},
                           .seed_items = {"seed"}};
    h->crop = (struct plan_crop){.code = "crop",
                                 .ways = h->ways,
                                 .way_count = 1,
                                 .fills = h->fills,
                                 .bed_kg_per_packed_kg = 1.25,
                                 .start_cost = 10,
                                 .waste_cost_per_kg = 0.5,
                                 .hold_cost_per_kg_day = 0.1};
    for (int c = 0; c < 6; c++)
        h->chambers[c] = (struct plan_chamber){.idle_since_day = -c};
    static const char *const names[6] = {"radicle-1", "radicle-2", "radicle-3",
                                         "radicle-4", "radicle-5", "radicle-6"};
    for (int c = 0; c < 6; c++)
        h->chambers[c].code = names[c];
    static const char *const lots[4] = {"lot-a", "lot-b", "lot-c", "lot-d"};
    for (int i = 0; i < 4; i++)
        h->lots[i] = (struct plan_seed_lot){lots[i], 0, 1000, -5, 100, 1, 1, 2, 20000 + i};
    for (int d = 0; d < 20; d++)
        h->days[d] =
            (struct plan_day){INFINITY, INFINITY, INFINITY, INFINITY, INFINITY, INT_MAX, INT_MAX};
    h->work = (struct plan_work){"hours", &h->work_per_kg, h->work_limit};
    for (int d = 0; d < 20; d++)
        h->work_limit[d] = INFINITY;
    h->ingredient =
        (struct plan_ingredient){"sesame", h->ingredient_per_piece, h->ingredient_lots, 0};
    h->products[0] = h->product;
    h->products[1] = (struct plan_product){"dish", 0, 0.5, 3, 0.25, NULL, 0};
    h->p = (struct plan_problem){.first_day = 20500,
                                 .day_count = 10,
                                 .cleaning_days = 1,
                                 .soak_hour = 8,
                                 .dispatch_hour = 14,
                                 .seed_items = h->seed_items,
                                 .markets = &h->market,
                                 .groups = &h->group,
                                 .crops = &h->crop,
                                 .products = &h->product,
                                 .classes = h->classes,
                                 .chambers = h->chambers,
                                 .running = h->running,
                                 .stock = h->stock,
                                 .seed_lots = h->lots,
                                 .taken = h->taken,
                                 .days = h->days,
                                 .works = &h->work,
                                 .ingredients = &h->ingredient,
                                 .lines = h->lines,
                                 .seed_item_count = 1,
                                 .market_count = 1,
                                 .group_count = 1,
                                 .crop_count = 1,
                                 .product_count = 1,
                                 .class_count = 1,
                                 .chamber_count = 2,
                                 .seed_lot_count = 1};
}

void handmade_want(struct handmade *h, int day, int64_t pieces)
{
    h->lines[h->p.line_count++] = (struct plan_line){"order", 0, 0, day, pieces, 0, 10, NULL, 0};
}

void choose_small(struct handmade *h, uint64_t seed)
{
    struct random r;
    random_seed(&r, seed + 500);
    h->p.running_count = 2;
    h->p.change_cost = (double)random_below(&r, 3);
    for (int i = 0; i < 2; i++) {
        int day = 1 + (int)random_below(&r, 3);
        h->others[i][0] =
            (struct plan_other){day - 1, 0.7 + 0.05 * (double)random_below(&r, 6), -1};
        h->others[i][1] = (struct plan_other){day + 1 + (int)random_below(&r, 2),
                                              0.9 + 0.05 * (double)random_below(&r, 5), 1};
        h->running[i] = (struct plan_running){.lot = i == 0 ? "lot" : "other",
                                              .chamber = i,
                                              .harvest_day = day,
                                              .packed_kg = 30 + (double)random_below(&r, 40),
                                              .markets = 1,
                                              .ready_day = h->ready_day,
                                              .others = h->others[i],
                                              .other_count = 2,
                                              .told = (int)random_below(&r, 3)};
    }
}
