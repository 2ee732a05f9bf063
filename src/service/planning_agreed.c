/* Deliveries agreed with suppliers in a planning problem: lots on their way, of which nothing is
 * known yet but the day. */
#include <string.h>

#include "ledger/agreed.h"
#include "service/planning_inner.h"

/* From the coming of seed to its approval where the profile says nothing: a germination test of
 * mung bean is counted last on its 7th day (from memory, of the rules of seed testing). */
enum { DAY_MS = 86400000, SEED_ACCEPT_DAYS = 7 };

static int accept_days(const struct seed_order *orders, size_t count, const char *item,
                       int otherwise)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(orders[i].item, item) == 0 && orders[i].accept_ms >= 0) {
            return (int)((orders[i].accept_ms + DAY_MS - 1) / DAY_MS);
        }
    }
    return otherwise;
}

static int seed_item_of(const struct reading *r, const char *item)
{
    for (int i = 0; i < r->seed_item_count; i++) {
        if (strcmp(r->seed_items[i], item) == 0) {
            return i;
        }
    }
    return PLAN_NONE;
}

/* It is taken to be like the lots behind the yields, and to be approved for every market. */
static void add_seed(struct reading *r, int seed_item, struct planning_agreed *x)
{
    struct plan_problem *o = &r->out->problem;
    x->seed_lot = o->seed_lot_count++;
    r->seed_ids[x->seed_lot] = -1; /* of no lot that anything grew from */
    r->seed_lots[x->seed_lot] = (struct plan_seed_lot){.code = x->code,
                                                       .seed_item = seed_item,
                                                       .kg = x->kg,
                                                       .from_day = x->from_day,
                                                       .last_day = PLAN_NEVER,
                                                       .markets = planning_market_bits(r, ""),
                                                       .yield_factor = 1,
                                                       .received_day = x->day};
}

/* Room for as many seed lots more. */
static void make_room(struct reading *r, size_t more)
{
    struct plan_problem *o = &r->out->problem;
    size_t count = (size_t)o->seed_lot_count;
    struct plan_seed_lot *lots = ARENA_ARRAY(r->arena, struct plan_seed_lot, count + more + 1);
    int64_t *ids = ARENA_ARRAY(r->arena, int64_t, count + more + 1);
    if (count > 0) {
        memcpy(lots, r->seed_lots, count * sizeof *lots);
        memcpy(ids, r->seed_ids, count * sizeof *ids);
    }
    o->seed_lots = r->seed_lots = lots;
    r->seed_ids = ids;
}

static void add(struct reading *r, struct planning_agreed *x)
{
    const struct planning *pl = &r->profile->planning;
    int seed_item = seed_item_of(r, x->item);
    int days = seed_item != PLAN_NONE
                   ? accept_days(pl->seed_orders, pl->seed_order_count, x->item, SEED_ACCEPT_DAYS)
                   : accept_days(pl->ingredient_orders, pl->ingredient_order_count, x->item, 0);
    int from_day = (int)(x->day - r->first_day) + days;
    if (x->day < r->first_day) {
        return; /* nobody knows when it comes */
    }
    if (seed_item != PLAN_NONE) {
        x->from_day = from_day;
        add_seed(r, seed_item, x);
    } else if (planning_add_ingredient(r, x->item, x->kg, from_day)) {
        x->from_day = from_day;
    }
}

struct result planning_read_agreed(struct reading *r)
{
    struct agreed *list;
    size_t count;
    TRY(agreed_awaited(r->store, r->arena, r->first_day, &list, &count));
    make_room(r, count);
    struct planning_agreed *out = ARENA_ARRAY(r->arena, struct planning_agreed, count + 1);
    for (size_t i = 0; i < count; i++) {
        const struct agreed *x = &list[i];
        out[i] =
            (struct planning_agreed){.code = x->code,
                                     .item = x->item,
                                     .supplier = x->supplier,
                                     .day = x->day,
                                     .kg = (double)agreed_left_mg(x) * 1e-6,
                                     .whole_kg = (double)x->mass_mg * 1e-6,
                                     .pieces = agreed_left_pieces(x),
                                     .whole_pieces = x->piece_mg > 0 ? x->mass_mg / x->piece_mg : 0,
                                     .from_day = PLAN_NONE,
                                     .seed_lot = PLAN_NONE};
        add(r, &out[i]);
    }
    r->out->agreed = out;
    r->out->agreed_count = (int)count;
    return RESULT_OK;
}

const char *planning_seed_lot(const struct planning_case *c, int lot)
{
    for (int i = 0; i < c->agreed_count; i++) {
        if (c->agreed[i].seed_lot == lot) {
            return NULL;
        }
    }
    return c->problem.seed_lots[lot].code;
}
