/* What orders get that does not stand in the order book: packs of another item that the plan taken
 * promised them in place of what they order, and standing orders without an order yet. One reading
 * and one wording for all who pick, load and ship. */
#ifndef SERVICE_ORDER_INSTEAD_H
#define SERVICE_ORDER_INSTEAD_H

#include "ledger/promise.h"
#include "service/view.h"

struct order_instead {
    struct promised_instead *list;
    size_t count;
};

/* Of orders of a day and later, in the view's arena. Errors of the store. */
MUST_USE struct result order_instead_read(struct view *v, int32_t from_day,
                                          struct order_instead *out);
/* The next item that an order gets instead, from *inout_at on, begun with 0. -> pieces, at most so
 * many; 0: there is no more */
int64_t order_instead_next(const struct order_instead *s, const char *order, size_t *inout_at,
                           int64_t most, const char **out_item);

/* Said of some orders together; begun all zero. */
struct order_notes {
    const char *given, *standing; /* NULL: nothing */
    int64_t standing_pieces;
};

void order_notes_given(const struct view *v, struct order_notes *n, int64_t pieces,
                       const char *given, const char *ordered);
void order_notes_standing(const struct view *v, struct order_notes *n, const char *code,
                          int64_t pieces);
/* Sentences, each after a blank; "" where there is nothing to say. */
const char *order_notes_text(const struct view *v, const struct order_notes *n);

#endif
