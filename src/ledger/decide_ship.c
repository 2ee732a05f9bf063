/* Goods leave for a customer: released for his market, not held, with days enough left. */
#include <string.h>

#include "base/decimal.h"
#include "ledger/clause.h"
#include "ledger/goods.h"
#include "ledger/promise.h"

struct load {
    struct partner customer;
    int64_t shipment;
    const char *code, *order; /* order "": none */
};

/* The first clause that stands in the way, in words. */
static struct result what_is_missing(struct draft *d, const struct lot *lot, const char *market,
                                     const char **out)
{
    struct clause_list list;
    TRY(clauses_of_lot(d->store, d->profile, lot->id, market, d->arena, &list));
    const struct clause_line *first = clauses_first_unmet(&list);
    *out = first == NULL ? "every clause is met, but nobody had released it then"
                         : arena_printf(d->arena, "clause %s of lot %s is open: %s", first->clause,
                                        first->lot_code, result_sentence(d->arena, &first->reason));
    return RESULT_OK;
}

static struct result released(struct draft *d, const struct load *load, const struct goods *g)
{
    struct statement *q = store_prepare(d->store, Q_RELEASES_IN_FORCE);
    store_bind_int(q, 1, g->lot.id);
    store_bind_int(q, 2, d->cmd->happened_ms); /* what was told as gone before went without it */
    bool found = false;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        found = found || list_has(store_text(q, 0), load->customer.market);
    }
    if (found) {
        return RESULT_OK;
    }
    const char *missing;
    TRY(what_is_missing(d, &g->lot, load->customer.market, &missing));
    return draft_break(d, "not-released", g->lot.id, NULL, 0, 0,
                       FAIL3(NOT_RELEASED, g->path, g->lot.code, load->customer.market, missing));
}

/* Holds on the lot, and on the cases by number. */
static struct result not_held(struct draft *d, const struct goods *g)
{
    TRY(lot_not_held(d, &g->lot, g->path, "load", "held-loaded"));
    for (size_t i = 0; i < g->unit_count; i++) {
        struct statement *q = store_prepare(d->store, Q_HOLDS_ON_UNIT);
        store_bind_int(q, 1, g->units[i].id);
        const char *code = NULL, *kind = NULL;
        for (;;) {
            bool row;
            TRY(store_step(q, &row));
            if (!row) {
                break;
            }
            if (code == NULL && list_has(store_text(q, 2), "load")) {
                code = arena_copy(d->arena, store_text(q, 0));
                kind = arena_copy(d->arena, store_text(q, 1));
            }
        }
        if (code != NULL) {
            return draft_break(d, "held-loaded", g->lot.id, NULL, 0, 0,
                               FAIL3(HELD, g->path, g->units[i].code, code, kind));
        }
    }
    return RESULT_OK;
}

static struct result life_left(struct draft *d, const struct load *load, const struct goods *g)
{
    int64_t wanted = load->customer.life_days;
    if (g->lot.best_before == 0 && wanted == 0) {
        return RESULT_OK; /* it has no date, and nobody asks for one */
    }
    int64_t left = g->lot.best_before != 0 ? (int64_t)g->lot.best_before - d->cmd->day : -1;
    if (left >= wanted) {
        return RESULT_OK;
    }
    const char *days = g->lot.best_before == 0
                           ? "no date"
                           : arena_printf(d->arena, "%lld days left", (long long)left);
    return draft_break(d, "life-short", g->lot.id, NULL, 0, 0,
                       FAIL3(LIFE_SHORT, g->path, g->lot.code, days,
                             arena_printf(d->arena, "%lld", (long long)wanted)));
}

static struct result order_fits(struct draft *d, const struct load *load, const struct goods *goods,
                                size_t count)
{
    const char *wrong = NULL, *ordered = "";
    struct statement *q = store_prepare(d->store, Q_ORDER_LINE_NEWEST);
    store_bind_text(q, 1, load->order);
    bool row;
    TRY(store_step(q, &row));
    if (!row) {
        wrong = "there is none of that key";
    } else if (strcmp(store_text(q, 0), load->customer.code) != 0) {
        wrong = "it is another customer's";
    } else if (strcmp(store_text(q, 2), "cancelled") == 0) {
        wrong = "it is cancelled";
    } else {
        ordered = arena_copy(d->arena, store_text(q, 1));
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    for (size_t i = 0; i < count && wrong == NULL; i++) {
        bool fits = strcmp(ordered, goods[i].lot.item) == 0;
        if (!fits) {
            TRY(promised_gives(d->store, load->order, goods[i].lot.item, &fits));
        }
        wrong = fits ? NULL : "it is for another item";
    }
    return wrong == NULL ? RESULT_OK
                         : draft_deviation(d, "order-unfit", 0, NULL, 0, 0,
                                           FAIL2(ORDER_UNFIT, "order", load->order, wrong));
}

static void shipped_row(struct draft *d, const struct load *load, int64_t lot, int64_t unit,
                        int64_t pieces, int64_t mg)
{
    draft_add(d, EFFECT_SHIPPED, "iiitii", load->shipment, lot, unit, load->order, pieces, mg);
}

/* A line a case; the last takes what is over of the lot's mass. */
static void shipped_rows(struct draft *d, const struct load *load, const struct goods *g)
{
    int64_t left = g->mass.value;
    for (size_t i = 0; i < g->unit_count; i++) {
        bool last = i + 1 == g->unit_count;
        int64_t mg = last || g->units[i].mg > left ? left : g->units[i].mg;
        shipped_row(d, load, g->lot.id, g->units[i].id, g->units[i].pieces, mg);
        left -= mg;
    }
    if (g->unit_count == 0) {
        shipped_row(d, load, g->lot.id, 0, g->pieces, g->mass.value);
    }
}

static struct result ship_one(struct draft *d, const struct load *load, const struct goods *g,
                              int64_t step)
{
    int64_t at_ms = d->cmd->happened_ms;
    TRY(lot_fits(d, &g->lot, g->path));
    if (g->pieces == 0 && g->mass.value == 0) {
        TRY(draft_break(d, "nothing-left", g->lot.id, NULL, 0, 0,
                        FAIL3(STOCK_SHORT, g->path, g->lot.code, "nothing", "some of it")));
    }
    TRY(not_held(d, g));
    TRY(released(d, load, g));
    TRY(life_left(d, load, g));
    TRY(goods_take(d, g));
    goods_to_account(d, g, "customer", 1);
    goods_set_units(d, g, "shipped", NULL, load->shipment);
    shipped_rows(d, load, g);
    draft_step_lot(d, step, g->lot.id, "in", g->mass.value, at_ms, at_ms);
    return lot_close_when_empty(d, &g->lot);
}

struct result decide_ship(struct draft *d)
{
    static const char *const names[] = {"customer",   "units", "lot",  "pieces", "mass", "how",
                                        "instrument", "gross", "tare", "order",  "to",   NULL};
    const json_t *o = d->cmd->body;
    struct load load = {.order = ""};
    const char *customer = NULL, *to = "";
    struct goods *goods;
    size_t count;
    bool found;
    int64_t at_ms = d->cmd->happened_ms, pieces = 0, mg = 0;
    TRY(draft_only(d, "a shipment", names));
    TRY(json_get_text(o, "customer", "customer", JSON_NEEDED, &customer));
    TRY(partner_by_code(d->store, d->arena, customer, &load.customer, &found));
    if (!found || strcmp(load.customer.role, "customer") != 0) {
        return FAIL2(PARTNER_UNKNOWN, "customer", customer, "customer");
    }
    TRY(json_get_text(o, "order", "order", JSON_OPTIONAL, &load.order));
    TRY(json_get_text(o, "to", "to", JSON_OPTIONAL, &to));
    TRY(goods_read(d, o, "", &goods, &count));
    if (load.order[0] != '\0') {
        TRY(order_fits(d, &load, goods, count));
    }
    load.shipment = draft_id(d);
    load.code = arena_printf(d->arena, "D%lld", (long long)d->seq);
    draft_add(d, EFFECT_SHIPMENT, "itti", load.shipment, load.code, load.customer.code, at_ms);
    int64_t step = draft_step(d, NULL, 0, at_ms, at_ms, count == 1 ? goods[0].lot.id : 0, to);
    for (size_t i = 0; i < count; i++) {
        TRY(ship_one(d, &load, &goods[i], step));
        pieces += goods[i].pieces;
        mg += goods[i].mass.value;
    }
    json_object_set_new(d->answer, "shipment", json_string(load.code));
    json_object_set_new(d->answer, "pieces", json_integer(pieces));
    json_object_set_new(d->answer, "mass", json_string(mass_text(d->arena, mg, 0)));
    return RESULT_OK;
}
