/* What the orders of today and tomorrow ask for. */
#include <stdlib.h>
#include <string.h>

#include "base/civil.h"
#include "ledger/closing.h"
#include "ledger/evidence.h"
#include "service/order_instead.h"
#include "service/order_stock.h"
#include "service/planning.h"
#include "service/standing_asked.h"
#include "service/today.h"

struct order {
    const char *key, *customer, *item;
    const char *ordered;  /* NULL: the item itself; else it goes in place of this */
    const char *standing; /* NULL: it stands in the order book */
    int32_t day, wanted;  /* on which it leaves, and for which it is wanted */
    int64_t open;         /* pieces that have not left */
    int64_t missing;      /* of these nothing stands there that is fit for the customer */
};

struct orders {
    struct order *list;
    size_t count;
    int32_t last; /* the last day asked about */
};

static void add(struct today *t, struct orders *s, const struct order *order)
{
    int32_t day = closing_leaves(t->v->profile, order->wanted, t->now_day);
    if (day >= t->day && day <= s->last && order->open > 0) {
        struct order *o = evidence_grow(t->v->arena, &s->list, &s->count, sizeof *s->list);
        *o = *order;
        o->day = day;
    }
}

/* What is promised as packs of another item counts as that. */
static void add_order(struct today *t, struct orders *s, const struct order_instead *instead,
                      const struct order *order)
{
    struct order rest = *order;
    const char *item;
    size_t at = 0;
    for (int64_t n; (n = order_instead_next(instead, order->key, &at, rest.open, &item)) > 0;) {
        struct order given = *order;
        given.item = item;
        given.ordered = order->item;
        given.open = n;
        rest.open -= n;
        add(t, s, &given);
    }
    add(t, s, &rest);
}

static struct result read_booked(struct today *t, struct orders *out)
{
    struct arena *a = t->v->arena;
    struct order_instead instead;
    TRY(order_instead_read(t->v, t->day, &instead));
    struct statement *q = store_prepare(t->v->store, Q_ORDER_LINES_OF_DAYS);
    store_bind_int(q, 1, t->day);
    store_bind_int(q, 2, out->last + CLOSING_BACK_DAYS);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct order o = {.key = arena_copy(a, store_text(q, 0)),
                          .customer = arena_copy(a, store_text(q, 2)),
                          .item = arena_copy(a, store_text(q, 3)),
                          .wanted = (int32_t)store_int(q, 4),
                          .open = store_int(q, 5) - store_int(q, 8)};
        if (o.open > 0 && strcmp(store_text(q, 6), "cancelled") != 0) {
            add_order(t, out, &instead, &o);
        }
    }
}

/* Standing orders that nobody ordered by: of days to come, the past is told by shipments. */
static struct result read_standing(struct today *t, struct orders *out)
{
    struct standing_ask *asks;
    size_t count;
    if (t->day < t->now_day) {
        return RESULT_OK;
    }
    TRY(standing_asked(t->v->store, t->v->arena, t->day, out->last + CLOSING_BACK_DAYS, &asks,
                       &count));
    for (size_t i = 0; i < count; i++) {
        const struct standing *s = asks[i].of;
        add(t, out,
            &(struct order){.key = s->code,
                            .customer = s->customer,
                            .item = s->item,
                            .standing = s->code,
                            .wanted = asks[i].day,
                            .open = asks[i].pieces});
    }
    return RESULT_OK;
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

/* " 40 of them are wanted for a later day, when nothing is dispatched." */
static const char *early_text(const struct view *v, int64_t pieces)
{
    return pieces > 0
               ? arena_printf(v->arena, " %s", SAY(v, "today.ship.early", view_number(v, pieces)))
               : "";
}

static void shipments(struct today *t, const struct order *orders, size_t count)
{
    struct view *v = t->v;
    int64_t by_ms =
        t->day_ms + v->profile->planning.dispatch_ms - (int64_t)v->profile->day_starts_min * 60000;
    for (size_t i = 0; i < count;) {
        int64_t pieces = 0, early = 0;
        struct order_notes notes = {.given = NULL};
        size_t same = i;
        for (; same < count && by_customer(&orders[i], &orders[same]) == 0; same++) {
            const struct order *o = &orders[same];
            bool now = o->day == t->day;
            pieces += now ? o->open : 0;
            early += now && o->wanted > t->day ? o->open : 0;
            if (now && o->ordered != NULL) {
                order_notes_given(v, &notes, o->open, o->item, o->ordered);
            }
            if (now && o->standing != NULL) {
                order_notes_standing(v, &notes, o->standing, o->open);
            }
        }
        const char *customer = orders[i].customer;
        if (pieces > 0) {
            const char *says =
                SAY(v, "today.ship", view_number(v, pieces), customer, view_clock(v, by_ms));
            today_add(t, &(struct today_line){.what = TODAY_SHIP,
                                              .about = customer,
                                              .by_ms = by_ms,
                                              .with = today_with("customer", customer),
                                              .sentence = arena_printf(
                                                  v->arena, "%s%s%s", says, early_text(v, early),
                                                  order_notes_text(v, &notes))});
        }
        i = same;
    }
}

/* What the house does not do on the day shown, and from today also on the next. */
void today_closed(struct today *t)
{
    struct view *v = t->v;
    int32_t last = t->day == t->now_day ? t->day + 1 : t->day;
    for (int32_t day = t->day; day <= last; day++) {
        unsigned what = closing_of(v->profile, day);
        if (what == 0) {
            continue;
        }
        const struct closing *why = closing_on(v->profile, day, what);
        today_add(t,
                  &(struct today_line){
                      .what = TODAY_CLOSED,
                      .about = day_text(v->arena, day),
                      .sentence = SAY(v, "plan.closed", words_date(v->arena, v->lang, day),
                                      planning_closed_what(v->arena, v->lang, what), why->reason)});
    }
}

struct result today_orders(struct today *t)
{
    struct orders read = {.last = t->day == t->now_day ? t->day + 1 : t->day};
    TRY(read_booked(t, &read));
    TRY(read_standing(t, &read));
    struct order *orders = read.list;
    size_t count = read.count;
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
