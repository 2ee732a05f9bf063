/* What standing orders ask for beyond the order book: their pieces of a day, less what their
 * customer has ordered of the item for that day; an order line that was cancelled says that nothing
 * is wanted then. Planning, Today and the trucks ask here. */
#ifndef SERVICE_STANDING_ASKED_H
#define SERVICE_STANDING_ASKED_H

#include "ledger/standing.h"

struct standing_ask {
    const struct standing *of;
    int32_t day;    /* for which it is wanted */
    int64_t pieces; /* above 0 */
};

/* Of the days from ... to, both included; by standing order and day, in the arena. */
MUST_USE struct result standing_asked(struct store *s, struct arena *a, int32_t from, int32_t to,
                                      struct standing_ask **out, size_t *out_count);

#endif
