/* What is bought: seed, ingredients and packaging, by mass or by the piece. */
#ifndef LEDGER_BOUGHT_H
#define LEDGER_BOUGHT_H

#include "ledger/draft.h"

struct item;

/* "item", which is one of them. ITEM_UNKNOWN, FIELD_CHOICE. */
MUST_USE struct result bought_item(struct draft *d, const char *code, struct item *out);

/* "pieces" of an ingredient or packaging in place of a mass, each of which weighs the item's net.
 * *out_pieces 0: not given. PIECE_UNWEIGHED, FIELD_RANGE (beside a mass too), FIELD_CHOICE for
 * seed. */
MUST_USE struct result bought_pieces(struct draft *d, const struct item *item, int64_t *out_pieces,
                                     int64_t *out_mg);

#endif
