#include <limits.h>
#include <math.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "service/chamber.h"
#include "service/planning_inner.h"

enum { THINGS_MAX = 1000 };

int planning_group_of(const struct reading *r, const char *group, const char *market)
{
    for (int i = 0; i < r->out->problem.group_count; i++) {
        if (strcmp(r->group_keys[i].group, group) == 0 &&
            strcmp(r->group_keys[i].market, market) == 0) {
            return i;
        }
    }
    return PLAN_NONE;
}

int planning_product_of(const struct reading *r, const char *item)
{
    for (int i = 0; i < r->out->problem.product_count; i++) {
        if (strcmp(r->products[i].code, item) == 0) {
            return i;
        }
    }
    return PLAN_NONE;
}

int planning_crop_of(const struct reading *r, const char *item)
{
    for (int i = 0; i < r->out->problem.crop_count; i++) {
        if (strcmp(r->crops[i].code, item) == 0) {
            return i;
        }
    }
    return PLAN_NONE;
}

int planning_market_of(const struct reading *r, const char *market)
{
    for (int i = 0; i < r->out->problem.market_count; i++) {
        if (strcmp(r->markets[i].code, market) == 0) {
            return i;
        }
    }
    return PLAN_NONE;
}

uint32_t planning_market_bits(const struct reading *r, const char *markets)
{
    uint32_t all = (1U << r->out->problem.market_count) - 1, bits = 0;
    char word[64];
    for (const char *at = markets; list_next(&at, word, sizeof word);) {
        int m = planning_market_of(r, word);
        bits |= m >= 0 ? 1U << m : 0;
    }
    return markets[0] == '\0' ? all : bits;
}

static double hours(int64_t ms)
{
    return (double)ms / 3600000.0;
}

static void read_markets(struct reading *r)
{
    const struct profile *p = r->profile;
    r->markets = ARENA_ARRAY(r->arena, struct plan_market, p->market_count);
    size_t count = p->market_count < PLAN_MARKETS_MAX ? p->market_count : PLAN_MARKETS_MAX;
    for (size_t i = 0; i < count; i++) {
        r->markets[i] = (struct plan_market){.code = p->markets[i].name,
                                             .sample_age_h = hours(p->markets[i].min_age_ms),
                                             .transit_h = hours(p->lab_transit_ms),
                                             .laboratory_h = hours(p->lab_time_ms),
                                             .retest_h = hours(p->markets[i].retest_ms)};
    }
    r->out->problem.markets = r->markets;
    r->out->problem.retest_planned = p->planning.retest_planned;
    r->out->problem.market_count = (int)count;
}

static struct result read_groups(struct reading *r)
{
    struct plan_problem *o = &r->out->problem;
    r->groups = ARENA_ARRAY(r->arena, struct plan_group, THINGS_MAX);
    r->group_keys = ARENA_ARRAY(r->arena, struct group_key, THINGS_MAX);
    r->out->names.groups = ARENA_ARRAY(r->arena, const char *, THINGS_MAX);
    struct statement *q = store_prepare(r->store, Q_PARTNER_ALL);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        int market = planning_market_of(r, store_text(q, 3));
        if (strcmp(store_text(q, 1), "customer") != 0 || market < 0) {
            continue;
        }
        int g = planning_group_of(r, store_text(q, 2), store_text(q, 3));
        int life = (int)store_int(q, 4), priority = (int)store_int(q, 5);
        if (g == PLAN_NONE && o->group_count < THINGS_MAX) {
            g = o->group_count++;
            r->group_keys[g] = (struct group_key){arena_copy(r->arena, store_text(q, 2)),
                                                  arena_copy(r->arena, store_text(q, 3))};
            r->out->names.groups[g] = r->group_keys[g].group;
            r->groups[g] = (struct plan_group){.code = r->group_keys[g].group,
                                               .market = market,
                                               .remaining_days = life,
                                               .priority = priority};
        } else if (g >= 0) { /* a group is served by its strictest customer's life and its first
                                customer's rank */
            r->groups[g].remaining_days =
                r->groups[g].remaining_days > life ? r->groups[g].remaining_days : life;
            r->groups[g].priority =
                r->groups[g].priority < priority ? r->groups[g].priority : priority;
        }
    }
    const struct planning *pl = &r->profile->planning;
    for (int g = 0; g < o->group_count; g++) {
        for (size_t i = 0; i < pl->late_count; i++) {
            if (strcmp(pl->late[i].group, r->group_keys[g].group) == 0) {
                r->groups[g].late_days = (int)pl->late[i].days;
                r->groups[g].late_cost_per_kg_day = (double)pl->late[i].cost_per_kg_day / 1000.0;
            }
        }
    }
    o->groups = r->groups;
    r->out->names.group_count = (size_t)o->group_count;
    return RESULT_OK;
}

static int seed_item_of(struct reading *r, const char *item)
{
    for (int i = 0; i < r->seed_item_count; i++) {
        if (strcmp(r->seed_items[i], item) == 0) {
            return i;
        }
    }
    r->seed_items[r->seed_item_count] = item;
    return r->seed_item_count++;
}

static struct mass_chain chain_of(const struct crop *crop)
{
    return mass_chain_from_ppm(crop->expansion_std * 1000, crop->hull_ppm, crop->trim_ppm,
                               crop->cull_ppm, crop->carry_ppm);
}

struct result planning_way_at(struct store *s, const struct profile *p, const struct crop *crop,
                              int64_t temp_mc, struct plan_way *out)
{
    const struct planning *pl = &p->planning;
    struct mass_chain chain = chain_of(crop);
    struct heat_sum_crop heat = chamber_crop(crop);
    double starts_h = p->day_starts_min / 60.0;
    struct yield_house house = {.soak_hour = hours(pl->soak_ms) - starts_h,
                                .harvest_hour = hours(pl->harvest_ms) - starts_h,
                                .lead_h = hours(pl->lead_ms),
                                .deviations = (double)pl->caution / 1000.0};
    struct yield_history history;
    TRY(chamber_history(s, p, crop, &history));
    return yield_way("set point", (int32_t)temp_mc, &heat, &chain, &history, &house, out);
}

static void read_parts(const struct reading *r, const struct crop *crop, struct plan_way *way)
{
    const struct planning *pl = &r->profile->planning;
    struct plan_part *parts = ARENA_ARRAY(r->arena, struct plan_part, PLAN_PARTS_MAX);
    for (size_t i = 0; i < pl->part_count; i++) {
        const struct item_part *x = &pl->parts[i];
        if (strcmp(x->item, crop->item) == 0) {
            CHECK(way->part_count < PLAN_PARTS_MAX); /* the profile's reader sees to it */
            parts[way->part_count++] = (struct plan_part){
                (int)x->after_days, (double)x->share_ppm / 1e6, (double)x->yield / 1000.0};
        }
    }
    way->parts = parts;
}

static struct result read_crop(struct reading *r, const struct crop *crop, struct plan_crop *out)
{
    const struct planning *pl = &r->profile->planning;
    struct plan_way *way = ARENA_NEW(r->arena, struct plan_way);
    struct plan_fill *fill = ARENA_NEW(r->arena, struct plan_fill);
    struct mass_chain chain = chain_of(crop);
    TRY(planning_way_at(r->store, r->profile, crop, crop->set_point_mc, way));
    read_parts(r, crop, way);
    *fill = (struct plan_fill){.seed_min_kg = (double)crop->chamber_seed_low_mg * 1e-6,
                               .seed_max_kg = (double)crop->chamber_seed_high_mg * 1e-6};
    char seed[64];
    const char *at = crop->seed_items;
    bool has_seed = list_next(&at, seed, sizeof seed);
    CHECK(has_seed); /* the profile's reader asks for it */
    *out = (struct plan_crop){.code = crop->item,
                              .seed_item = seed_item_of(r, arena_copy(r->arena, seed)),
                              .fills = fill,
                              .bed_kg_per_packed_kg = yield_bed_kg_per_packed_kg(&chain),
                              .start_cost = (double)pl->start_cost / 1000.0,
                              .waste_cost_per_kg = (double)pl->waste_per_kg / 1000.0,
                              .hold_cost_per_kg_day = (double)pl->hold_per_kg_day / 1000.0};
    out->way_count = planning_ways(r->arena, r->profile, crop->item, way, &out->ways);
    return RESULT_OK;
}

static struct result read_crops(struct reading *r)
{
    const struct profile *p = r->profile;
    r->crops = ARENA_ARRAY(r->arena, struct plan_crop, p->crop_count + 1);
    r->seed_items = ARENA_ARRAY(r->arena, const char *, p->crop_count + 1);
    for (size_t i = 0; i < p->crop_count; i++) {
        TRY(read_crop(r, &p->crops[i], &r->crops[i]));
    }
    r->out->problem.crops = r->crops;
    r->out->problem.crop_count = (int)p->crop_count;
    r->out->problem.seed_items = r->seed_items;
    r->out->problem.seed_item_count = r->seed_item_count;
    return RESULT_OK;
}

/* What a pack really holds: label weight and the giveaway of the last lots would be better still;
 * half a per cent is added. */
static struct result read_products(struct reading *r)
{
    struct plan_problem *o = &r->out->problem;
    r->products = ARENA_ARRAY(r->arena, struct plan_product, THINGS_MAX);
    r->out->names.items = ARENA_ARRAY(r->arena, const char *, THINGS_MAX);
    struct statement *q = store_prepare(r->store, Q_ITEM_ALL);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        const char *source = store_is_null(q, 9) ? "" : store_text(q, 9);
        int crop = planning_crop_of(r, source);
        if (strcmp(store_text(q, 2), "packed") != 0 || crop < 0 || o->product_count >= THINGS_MAX) {
            continue;
        }
        const char *code = arena_copy(r->arena, store_text(q, 0));
        r->out->names.items[o->product_count] = code;
        r->products[o->product_count++] =
            (struct plan_product){.code = code,
                                  .crop = crop,
                                  .net_kg = (double)store_int(q, 5) * 1e-6 * PLANNING_FILLED,
                                  .life_days = (int)store_int(q, 8)};
    }
    o->products = r->products;
    r->out->names.item_count = (size_t)o->product_count;
    return RESULT_OK;
}

static struct result read_chamber_list(struct reading *r)
{
    struct plan_problem *o = &r->out->problem;
    static const struct plan_outage always = {.from_day = 0, .to_day = PLAN_NEVER};
    struct plan_class *class_ = ARENA_NEW(r->arena, struct plan_class);
    class_->code = "chambers";
    r->chambers = ARENA_ARRAY(r->arena, struct plan_chamber, THINGS_MAX);
    struct statement *q = store_prepare(r->store, Q_PLACE_ALL);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        if (strcmp(store_text(q, 2), "chamber") == 0 && o->chamber_count < THINGS_MAX) {
            bool out_of_service = store_int(q, 6) == 0;
            r->chambers[o->chamber_count++] =
                (struct plan_chamber){.code = arena_copy(r->arena, store_text(q, 0)),
                                      .outages = out_of_service ? &always : NULL,
                                      .outage_count = out_of_service ? 1 : 0};
        }
    }
    o->classes = class_;
    o->class_count = 1;
    o->chambers = r->chambers;
    return RESULT_OK;
}

static struct result read_idle(struct reading *r)
{
    for (int i = 0; i < r->out->problem.chamber_count; i++) {
        struct statement *q = store_prepare(r->store, Q_PLANNING_IDLE_SINCE);
        store_bind_text(q, 1, r->chambers[i].code);
        bool row;
        TRY(store_step(q, &row));
        int64_t ms = row ? store_int(q, 0) : 0;
        while (row) {
            TRY(store_step(q, &row));
        }
        int64_t days = ms != 0 ? (r->now_ms - ms) / 86400000 : 365;
        r->chambers[i].idle_since_day = -(int)(days < 3650 ? days : 3650);
    }
    return RESULT_OK;
}

static double limit_kg(int64_t mg)
{
    return mg > 0 ? (double)mg * 1e-6 : INFINITY;
}

static void read_days(struct reading *r)
{
    const struct planning *pl = &r->profile->planning;
    struct plan_problem *o = &r->out->problem;
    struct plan_day *days = ARENA_ARRAY(r->arena, struct plan_day, (size_t)o->day_count);
    for (int i = 0; i < o->day_count; i++) {
        days[i] = (struct plan_day){
            .treat_seed_kg = limit_kg(pl->treat_mg),
            .soak_seed_kg = limit_kg(pl->soak_mg),
            .harvest_bed_kg = limit_kg(pl->harvest_mg),
            .wash_bed_kg = limit_kg(pl->wash_mg),
            .pack_kg = limit_kg(pl->pack_mg),
            .starts_max = pl->starts_a_day > 0 ? (int)pl->starts_a_day : INT_MAX,
            .harvests_max = pl->harvests_a_day > 0 ? (int)pl->harvests_a_day : INT_MAX};
    }
    planning_read_closing(r, days);
    o->days = days;
}

static void read_works(struct reading *r)
{
    const struct planning *pl = &r->profile->planning;
    struct plan_problem *o = &r->out->problem;
    struct plan_work *works = ARENA_ARRAY(r->arena, struct plan_work, pl->work_count + 1);
    for (size_t w = 0; w < pl->work_count; w++) {
        double *per_kg = ARENA_ARRAY(r->arena, double, (size_t)o->crop_count + 1);
        double *limit = ARENA_ARRAY(r->arena, double, (size_t)o->day_count);
        for (int k = 0; k < o->crop_count; k++) {
            per_kg[k] = (double)pl->works[w].per_t[k] * 1e-6;
        }
        for (int d = 0; d < o->day_count; d++) {
            bool is_open = (planning_closed(r, d) & (CLOSES_HARVEST | CLOSES_PACK)) == 0;
            limit[d] = is_open ? (double)pl->works[w].a_day / 1000.0 : 0;
        }
        works[w] = (struct plan_work){pl->works[w].name, per_kg, limit};
    }
    o->works = works;
    o->work_count = (int)pl->work_count;
}

/* Swaps of items that the record knows. Customers without a group take those that name none. */
static void read_swaps(struct reading *r)
{
    const struct planning *pl = &r->profile->planning;
    struct plan_problem *o = &r->out->problem;
    struct plan_swap *swaps = ARENA_ARRAY(r->arena, struct plan_swap, pl->swap_count + 1);
    for (size_t i = 0; i < pl->swap_count; i++) {
        const struct item_swap *x = &pl->swaps[i];
        int from = planning_product_of(r, x->item), to = planning_product_of(r, x->given);
        if (from < 0 || to < 0) {
            continue;
        }
        bool *groups = ARENA_ARRAY(r->arena, bool, (size_t)o->group_count + 1);
        for (int g = 0; g < o->group_count; g++) {
            groups[g] = x->groups[0] == '\0' || list_has(x->groups, r->group_keys[g].group);
        }
        swaps[o->swap_count++] = (struct plan_swap){.from_product = from,
                                                    .to_product = to,
                                                    .cost_per_kg = (double)x->cost_per_kg / 1000.0,
                                                    .groups = groups};
    }
    o->swaps = swaps;
}

struct result planning_read_partners(struct reading *r)
{
    read_markets(r);
    return read_groups(r);
}

struct result planning_read_house(struct reading *r)
{
    TRY(planning_read_partners(r));
    TRY(read_crops(r));
    TRY(read_products(r));
    planning_read_recipes(r);
    TRY(read_chamber_list(r));
    TRY(read_idle(r));
    read_days(r);
    read_works(r);
    read_swaps(r);
    return RESULT_OK;
}
