/* What stands packed and may leave, and who takes what of it: the one reading for all who ask
 * whether an order can be met from it. Goods serve an order when they are sold on its customer's
 * market and have the life left that the customer asks for on the order's day; an order of somebody
 * who is no customer of the house any more takes anything. */
#ifndef SERVICE_ORDER_STOCK_H
#define SERVICE_ORDER_STOCK_H

#include "service/view.h"

/* Goods of one item, best before and market. */
struct order_goods {
    const char *item, *markets; /* comma list; "": all */
    int32_t best_before;        /* 0: none */
    int64_t pieces, left;       /* that nobody has taken yet */
};

struct order_customer {
    const char *code, *group, *market; /* market "": any */
    int64_t life_days;
};

struct order_stock {
    struct order_goods *goods; /* by item, what ends first first */
    struct order_customer *customers;
    size_t goods_count, customer_count;
};

/* All in the view's arena. Errors of the store. */
MUST_USE struct result order_stock_read(struct view *v, struct order_stock *out);
/* NULL: no customer of the house. */
const struct order_customer *order_stock_customer(const struct order_stock *s, const char *code);
/* Gives an order of a day so many pieces at most, what ends first first. who may be NULL. -> pieces
 * given, that are no longer there for the next */
int64_t order_stock_take(struct order_stock *s, const struct order_customer *who, const char *item,
                         int32_t day, int64_t pieces);
/* Pieces of an item that nobody has taken, fit or not. */
int64_t order_stock_left(const struct order_stock *s, const char *item);

#endif
