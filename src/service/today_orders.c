/* What the orders of today and tomorrow ask for. */
#include <stdlib.h>
#include <string.h>

#include "base/civil.h"
#include "ledger/evidence.h"
#include "service/order_stock.h"
#include "service/today.h"

struct order {
    const char *key, *customer, *item;
    int32_t day;
    int64_t open;    /* pieces that have not left */
    int64_t missing; /* of these nothing stands there that is fit for the customer */
};

static struct result read_orders(struct today *t, struct order **out, size_t *out_count)
{
    struct arena *a = t->v->arena;
    struct statement *q = store_prepare(t->v->store, Q_ORDER_LINES_OF_DAYS);
    store_bind_int(q, 1, t->day);
    store_bind_int(q, 2, t->day == t->now_day ? t->day + 1 : t->day);
    bool row;
    *out = NULL;
    *out_count = 0;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t open = store_int(q, 5) - store_int(q, 8);
        if (open > 0 && strcmp(store_text(q, 6), "cancelled") != 0) {
            struct order *o = evidence_grow(a, out, out_count, sizeof **out);
            *o = (struct order){.key = arena_copy(a, store_text(q, 0)),
                                .customer = arena_copy(a, store_text(q, 2)),
                                .item = arena_copy(a, store_text(q, 3)),
                                .day = (int32_t)store_int(q, 4),
                                .open = open};
        }
    }
}

static int by_day_and_key(const void *x, const void *y)
{
    const struct order *a = x, *b = y;
    return a->day != b->day ? a->day - b->day : strcmp(a->key, b->key);
}

/* What an earlier day takes is not there for a later one. */
static struct result give_out(struct today *t, struct order *orders, size_t count,
                              struct order_stock *stock)
{
    TRY(order_stock_read(t->v, stock));
    qsort(orders, count, sizeof *orders, by_day_and_key);
    for (size_t i = 0; i < count; i++) {
        struct order *o = &orders[i];
        const struct order_customer *who = order_stock_customer(stock, o->customer);
        o->missing = o->open - order_stock_take(stock, who, o->item, o->day, o->open);
    }
    return RESULT_OK;
}

static int by_day_and_item(const void *x, const void *y)
{
    const struct order *a = x, *b = y;
    return a->day != b->day ? a->day - b->day : strcmp(a->item, b->item);
}

static int by_customer(const void *x, const void *y)
{
    const struct order *a = x, *b = y;
    return strcmp(a->customer, b->customer);
}

static void add_short(struct today *t, const struct order *o, int64_t wanted, int64_t missing,
                      int64_t unfit)
{
    struct view *v = t->v;
    const char *day = words_date(v->arena, v->lang, o->day);
    const char *says =
        SAY(v, "today.short", view_number(v, missing), o->item, day, view_number(v, wanted));
    if (unfit > 0) {
        says = SAY(v, "today.short-unfit", says, view_number(v, unfit));
    }
    today_add(t, &(struct today_line){
                     .what = TODAY_SHORT,
                     .about = arena_printf(v->arena, "%s %s", day_text(v->arena, o->day), o->item),
                     .by_ms = o->day == t->day ? t->day_ms : t->next_ms,
                     .sentence = says});
}

/* Orders of a day and an item at once. */
static void shorts(struct today *t, const struct order *orders, size_t count,
                   const struct order_stock *stock)
{
    for (size_t i = 0; i < count;) {
        int64_t wanted = 0, missing = 0;
        size_t same = i;
        for (; same < count && by_day_and_item(&orders[i], &orders[same]) == 0; same++) {
            wanted += orders[same].open;
            missing += orders[same].missing;
        }
        if (missing > 0) {
            int64_t left = order_stock_left(stock, orders[i].item);
            add_short(t, &orders[i], wanted, missing, left < missing ? left : missing);
        }
        i = same;
    }
}

static void shipments(struct today *t, const struct order *orders, size_t count)
{
    struct view *v = t->v;
    int64_t by_ms =
        t->day_ms + v->profile->planning.dispatch_ms - (int64_t)v->profile->day_starts_min * 60000;
    for (size_t i = 0; i < count;) {
        int64_t pieces = 0;
        size_t same = i;
        for (; same < count && by_customer(&orders[i], &orders[same]) == 0; same++) {
            pieces += orders[same].day == t->day ? orders[same].open : 0;
        }
        const char *customer = orders[i].customer;
        if (pieces > 0) {
            today_add(t,
                      &(struct today_line){.what = TODAY_SHIP,
                                           .about = customer,
                                           .by_ms = by_ms,
                                           .with = today_with("customer", customer),
                                           .sentence = SAY(v, "today.ship", view_number(v, pieces),
                                                           customer, view_clock(v, by_ms))});
        }
        i = same;
    }
}

struct result today_orders(struct today *t)
{
    struct order *orders;
    size_t count;
    TRY(read_orders(t, &orders, &count));
    if (count == 0) {
        return RESULT_OK;
    }
    if (t->day == t->now_day) { /* what will be packed by a later day is the plan's to say */
        struct order_stock stock;
        TRY(give_out(t, orders, count, &stock));
        qsort(orders, count, sizeof *orders, by_day_and_item);
        shorts(t, orders, count, &stock);
    }
    qsort(orders, count, sizeof *orders, by_customer);
    shipments(t, orders, count);
    return RESULT_OK;
}
