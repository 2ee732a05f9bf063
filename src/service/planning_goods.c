#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "plan/mix.h"
#include "service/chamber.h"
#include "service/planning_inner.h"

enum { GOODS_MAX = 5000, DAY_MS = 86400000 };

static int chamber_of(const struct reading *r, const char *code)
{
    for (int i = 0; i < r->out->problem.chamber_count; i++) {
        if (strcmp(r->chambers[i].code, code) == 0) {
            return i;
        }
    }
    return PLAN_NONE;
}

static int day_index(const struct reading *r, int64_t ms)
{
    return (int)(day_of_house(ms, civil_offset_min(ms), r->profile->day_starts_min) - r->first_day);
}

static struct result running_of(struct reading *r, const struct chamber_run *g,
                                struct plan_running *out)
{
    const struct crop *crop = profile_crop(r->profile, g->item);
    int c = planning_crop_of(r, g->item), start_day = day_index(r, g->start_ms);
    const struct planning *pl = &r->profile->planning;
    struct heat_sum_crop heat = chamber_crop(crop);
    struct set_point ahead = {.from_ms = r->now_ms, .temp_mc = (int32_t)crop->set_point_mc};
    struct yield_clock clock = {.now_ms = r->now_ms,
                                .offset_min = r->offset_min,
                                .day_starts_min = r->profile->day_starts_min,
                                .first_day = r->first_day,
                                .harvest_hour = (double)pl->harvest_ms / 3600000.0 -
                                                r->profile->day_starts_min / 60.0};
    *out = (struct plan_running){.lot = g->code, .chamber = chamber_of(r, g->place), .crop = c};
    TRY(yield_harvest_day(&heat, chamber_heat(crop, &g->warmth, r->now_ms), &ahead, 1, &clock,
                          &out->harvest_day));
    /* a log that ends long ago says no more than the set point */
    out->is_day_known = out->harvest_day <= PLANNING_DAYS_SURE && g->warmth.log_ms != 0 &&
                        r->now_ms - g->warmth.log_ms <= DAY_MS;
    double whole_kg = (double)g->seed_mg * 1e-6 * r->crops[c].ways[0].packed_kg_per_seed_kg;
    out->packed_kg = g->held > 0 ? 0 : whole_kg * (double)(1000000 - g->shares_ppm) / 1e6;
    out->markets = planning_market_bits(r, g->markets);
    struct planning_tested t = {
        .lot = g->code, .harvest_day = out->harvest_day, .markets = out->markets};
    TRY(planning_tested(r, g->lot, start_day, 0, &t));
    out->once_day = t.once_day;
    out->again_day = t.again_day;
    out->ready_day = t.ready_day;
    return RESULT_OK;
}

/* The day the lot is or was ready, however long ago. */
static struct result own_day(const struct reading *r, const struct chamber_run *g, int *out)
{
    const struct profile *p = r->profile;
    const struct crop *crop = profile_crop(p, g->item);
    int64_t ready_ms = 0;
    int32_t day;
    TRY(chamber_ready(crop, &g->warmth, &ready_ms));
    TRY(chamber_own_day(p, crop, &g->warmth, &day));
    if (ready_ms != 0 && ready_ms <= r->now_ms) {
        *out = day - r->first_day;
    }
    return RESULT_OK;
}

/* The day the first part of a chamber comes; once some is harvested, the one it came or should have
 * come, however long ago. */
static struct result first_harvest_day(const struct reading *r, const struct chamber_run *g,
                                       int *out)
{
    return g->shares_ppm == 0 ? RESULT_OK : own_day(r, g, out);
}

/* What is left of a chamber that is harvested in parts, each on its day: those before the share
 * harvested are over, one that was begun still has its rest. -> count */
static int parts_of(const struct reading *r, const struct chamber_run *g,
                    const struct plan_running *whole, int first_day, struct plan_running *out)
{
    const struct plan_way *way = &r->crops[whole->crop].ways[0];
    double left = (double)(1000000 - g->shares_ppm) / 1e6, done = 1 - left;
    int count = 0;
    for (int i = 0; i < way->part_count; i++) {
        double share = way->parts[i].share - done;
        done = share < 0 ? -share : 0;
        if (share < 1e-6) {
            continue;
        }
        int day = first_day + way->parts[i].after_days;
        out[count] = *whole;
        out[count].harvest_day = day > 0 ? day : 0;
        out[count].packed_kg = whole->packed_kg / left * share * way->parts[i].yield_factor;
        count++;
    }
    if (count == 0) { /* not emptied yet, though nothing is left */
        out[count++] = *whole;
    }
    return count;
}

static struct result read_running(struct reading *r)
{
    struct chamber_run *runs;
    size_t run_count;
    struct chamber_ask ask = {.store = r->store,
                              .kept = r->kept,
                              .profile = r->profile,
                              .now_ms = r->now_ms,
                              .arena = r->arena};
    TRY(chamber_runs(&ask, &runs, &run_count));
    struct plan_running *out =
        ARENA_ARRAY(r->arena, struct plan_running, run_count * PLAN_PARTS_MAX + 1);
    int count = 0;
    struct planning_warmth *warmth =
        ARENA_ARRAY(r->arena, struct planning_warmth, run_count * PLAN_PARTS_MAX + 1);
    r->running_seed = ARENA_ARRAY(r->arena, int64_t, run_count * PLAN_PARTS_MAX + 1);
    r->running_factor = ARENA_ARRAY(r->arena, double, run_count *PLAN_PARTS_MAX + 1);
    for (size_t i = 0; i < run_count; i++) {
        if (profile_crop(r->profile, runs[i].item) == NULL || chamber_of(r, runs[i].place) < 0) {
            continue;
        }
        struct plan_running whole;
        TRY(running_of(r, &runs[i], &whole));
        int added = 1, last_day = r->out->problem.day_count - 1;
        int ready = whole.harvest_day;
        TRY(own_day(r, &runs[i], &ready));
        planning_other_days(r, &runs[i], ready, &whole);
        out[count] = whole;
        if (r->crops[whole.crop].ways[0].part_count > 0 && runs[i].shares_ppm < 1000000) {
            int first_day = whole.harvest_day;
            TRY(first_harvest_day(r, &runs[i], &first_day));
            added = parts_of(r, &runs[i], &whole, first_day, &out[count]);
        }
        int64_t seed;
        double factor;
        TRY(chamber_seed_of(r->store, runs[i].lot, &seed, &factor));
        struct planning_warmth w = {.warmth = runs[i].warmth};
        TRY(chamber_later_days(r->profile, profile_crop(r->profile, runs[i].item), &runs[i],
                               &w.later_days));
        for (; added > 0; added--, count++) {
            warmth[count] = w;
            r->running_seed[count] = seed;
            r->running_factor[count] = factor;
            if (out[count].harvest_day > last_day) {
                out[count].harvest_day = last_day;
            }
            out[count].harvest_day = planning_harvest_open(r, out[count].harvest_day);
        }
    }
    r->running = out;
    r->out->warmth = warmth;
    r->out->problem.running = out;
    r->out->problem.running_count = count;
    return RESULT_OK;
}

/* Not released: its evidence can be complete tomorrow at the earliest, and while a result is open
 * not before that is known. */
static struct result wait_for(struct reading *r, int64_t lot, struct plan_stock *x)
{
    struct statement *q = store_prepare(r->store, Q_PLANNING_BATCHES_OF);
    store_bind_int(q, 1, lot);
    int start_day = x->harvest_day, batches = 0;
    const char *batch = x->lot;
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        if (batches++ == 0) {
            start_day = day_index(r, store_int(q, 1));
            batch = arena_copy(r->arena, store_text(q, 0));
        }
    }
    struct planning_tested t = {
        .lot = batches == 1 ? batch : x->lot, .harvest_day = x->harvest_day, .markets = x->markets};
    TRY(planning_tested(r, lot, start_day, 1, &t));
    x->batch = t.is_open ? batch : NULL;
    x->once_day = t.once_day;
    x->again_day = t.again_day;
    x->ready_day = t.ready_day;
    return RESULT_OK;
}

static struct result read_stock(struct reading *r)
{
    struct plan_stock *out = ARENA_ARRAY(r->arena, struct plan_stock, GOODS_MAX);
    int64_t *waiting = ARENA_ARRAY(r->arena, int64_t, GOODS_MAX); /* lots; 0: released */
    int count = 0, markets = r->out->problem.market_count;
    int *now = ARENA_ARRAY(r->arena, int, (size_t)markets);
    struct statement *q = store_prepare(r->store, Q_PLANNING_STOCK);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        int product = planning_product_of(r, store_text(q, 2));
        if (product < 0 || store_int(q, 8) > 0 || count >= GOODS_MAX) {
            continue;
        }
        int day = (int)(store_int(q, 3) - r->first_day);
        waiting[count] = store_int(q, 7) != 0 ? 0 : store_int(q, 0);
        out[count++] = (struct plan_stock){.lot = arena_copy(r->arena, store_text(q, 1)),
                                           .crop = r->products[product].crop,
                                           .product = product,
                                           .harvest_day = day < 0 ? day : 0,
                                           .kg = (double)store_int(q, 6) * 1e-6 /
                                                 plan_pack_kg(&r->out->problem, product),
                                           .markets = planning_market_bits(r, store_text(q, 5)),
                                           .ready_day = now};
    }
    for (int i = 0; i < count; i++) {
        TRY(waiting[i] != 0 ? wait_for(r, waiting[i], &out[i]) : RESULT_OK);
    }
    r->out->problem.stock = out;
    r->out->problem.stock_count = count;
    return RESULT_OK;
}

static struct result read_seed(struct reading *r)
{
    struct plan_seed_lot *out = ARENA_ARRAY(r->arena, struct plan_seed_lot, GOODS_MAX);
    int count = 0;
    r->seed_ids = ARENA_ARRAY(r->arena, int64_t, GOODS_MAX);
    struct statement *q = store_prepare(r->store, Q_PLANNING_SEED);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        int item = PLAN_NONE;
        for (int i = 0; i < r->seed_item_count; i++) {
            item = strcmp(r->seed_items[i], store_text(q, 2)) == 0 ? i : item;
        }
        bool usable = strcmp(store_text(q, 6), "approved") == 0 && store_int(q, 10) == 0;
        double factor;
        TRY(chamber_seed_factor(store_int(q, 8), store_int(q, 9), &factor));
        if (item < 0 || count >= GOODS_MAX || factor <= 0) {
            continue;
        }
        r->seed_ids[count] = store_int(q, 0);
        struct plan_seed_lot *lot = &out[count++];
        *lot = (struct plan_seed_lot){.code = arena_copy(r->arena, store_text(q, 1)),
                                      .seed_item = item,
                                      .kg = (double)store_int(q, 5) * 1e-6,
                                      .last_day = PLAN_NEVER,
                                      .markets =
                                          usable ? planning_market_bits(r, store_text(q, 7)) : 0,
                                      .yield_factor = factor,
                                      .received_day = (int32_t)store_int(q, 3)};
        if (!store_is_null(q, 4)) {
            lot->last_day = (int)(store_int(q, 4) - r->first_day);
        }
    }
    r->seed_lots = out;
    r->out->problem.seed_lots = out;
    r->out->problem.seed_lot_count = count;
    return RESULT_OK;
}

/* The crop's way that a start was taken by, so many days off its own; else the first. */
static int way_taken(const struct reading *r, int crop, int off_days)
{
    for (int w = 0; w < r->crops[crop].way_count; w++) {
        if (r->crops[crop].ways[w].off_days == off_days) {
            return w;
        }
    }
    return 0;
}

static struct result read_taken(struct reading *r)
{
    struct plan_taken *out = ARENA_ARRAY(r->arena, struct plan_taken, GOODS_MAX);
    struct planning_left *left = ARENA_ARRAY(r->arena, struct planning_left, GOODS_MAX);
    int count = 0, left_count = 0;
    struct statement *q = store_prepare(r->store, Q_PLANNING_TAKEN);
    store_bind_int(q, 1, r->first_day);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        int chamber = chamber_of(r, store_text(q, 1)), crop = planning_crop_of(r, store_text(q, 2)),
            seed = PLAN_NONE;
        int day = (int)(store_int(q, 0) - r->first_day);
        for (int i = 0; i < r->out->problem.seed_lot_count; i++) {
            const char *lot = planning_seed_lot(r->out, i);
            seed = lot != NULL && strcmp(lot, store_text(q, 5)) == 0 ? i : seed;
        }
        bool made = store_int(q, 6) != 0; /* it grows and stands in running */
        int off_days;
        TRY(chamber_off_days(store_text(q, 7), &off_days));
        if (made || chamber < 0 || crop < 0 || day >= r->out->problem.day_count ||
            count + left_count >= GOODS_MAX) {
            continue;
        }
        if ((planning_closed(r, day) & CLOSES_SOAK) != 0) {
            left[left_count++] = (struct planning_left){day, chamber, crop};
        } else {
            out[count++] = (struct plan_taken){.day = day,
                                               .chamber = chamber,
                                               .crop = crop,
                                               .way = way_taken(r, crop, off_days),
                                               .seed_kg = (double)store_int(q, 3) * 1e-6,
                                               .seed_lot = seed};
        }
    }
    r->out->problem.taken = out;
    r->out->problem.taken_count = count;
    r->out->left = left;
    r->out->left_count = left_count;
    return RESULT_OK;
}

struct result planning_read_goods(struct reading *r)
{
    TRY(read_running(r));
    TRY(read_stock(r));
    TRY(read_seed(r));
    TRY(planning_read_ingredients(r));
    TRY(planning_read_agreed(r));
    return read_taken(r);
}
