#include "service/order_stock.h"

#include <string.h>

#include "ledger/evidence.h"

static struct result read_goods(struct view *v, struct order_stock *s)
{
    struct statement *q = store_prepare(v->store, Q_ORDER_STOCK);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct order_goods *g =
            evidence_grow(v->arena, &s->goods, &s->goods_count, sizeof *s->goods);
        *g = (struct order_goods){.item = arena_copy(v->arena, store_text(q, 0)),
                                  .best_before = (int32_t)store_int(q, 1),
                                  .markets = arena_copy(v->arena, store_text(q, 2)),
                                  .pieces = store_int(q, 3),
                                  .left = store_int(q, 3)};
    }
}

static struct result read_customers(struct view *v, struct order_stock *s)
{
    struct statement *q = store_prepare(v->store, Q_KEEPING_CUSTOMERS);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct order_customer *c =
            evidence_grow(v->arena, &s->customers, &s->customer_count, sizeof *s->customers);
        *c = (struct order_customer){.code = arena_copy(v->arena, store_text(q, 0)),
                                     .life_days = store_int(q, 1),
                                     .market = arena_copy(v->arena, store_text(q, 2)),
                                     .group = arena_copy(v->arena, store_text(q, 4))};
    }
}

struct result order_stock_read(struct view *v, struct order_stock *out)
{
    *out = (struct order_stock){.goods_count = 0};
    TRY(read_goods(v, out));
    return read_customers(v, out);
}

const struct order_customer *order_stock_customer(const struct order_stock *s, const char *code)
{
    for (size_t i = 0; i < s->customer_count; i++) {
        if (strcmp(s->customers[i].code, code) == 0) {
            return &s->customers[i];
        }
    }
    return NULL;
}

/* Long enough to keep, and for the market, of whoever ordered. */
static bool is_fit(const struct order_goods *g, const struct order_customer *who, int32_t day)
{
    if (who == NULL) {
        return true;
    }
    bool sold =
        g->markets[0] == '\0' || who->market[0] == '\0' || list_has(g->markets, who->market);
    return sold && (g->best_before == 0 || g->best_before - day >= who->life_days);
}

int64_t order_stock_take(struct order_stock *s, const struct order_customer *who, const char *item,
                         int32_t day, int64_t pieces)
{
    int64_t given = 0;
    for (size_t i = 0; i < s->goods_count && given < pieces; i++) {
        struct order_goods *g = &s->goods[i];
        if (strcmp(g->item, item) == 0 && is_fit(g, who, day)) {
            int64_t part = pieces - given < g->left ? pieces - given : g->left;
            given += part;
            g->left -= part;
        }
    }
    return given;
}

int64_t order_stock_left(const struct order_stock *s, const char *item)
{
    int64_t left = 0;
    for (size_t i = 0; i < s->goods_count; i++) {
        left += strcmp(s->goods[i].item, item) == 0 ? s->goods[i].left : 0;
    }
    return left;
}
