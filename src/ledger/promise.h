/* What orders were promised in place of what they order: the plan taken says so, and the goods are
 * picked and shipped as that. */
#ifndef LEDGER_PROMISE_H
#define LEDGER_PROMISE_H

#include "ledger/draft.h"

struct promised_instead {
    const char *order, *item;
    int64_t pieces; /* that have not left yet, above 0 */
};

/* The "instead" of a promise that is told: [{item, pieces}], each item once. *out NULL where none
 * is given, else owned by the caller. FIELD_*, ITEM_UNKNOWN. */
MUST_USE struct result promise_instead_read(struct draft *d, const json_t *o, const char *path,
                                            json_t **out);
/* Of the newest promises of orders of a day and later, by order; everything in the arena. */
MUST_USE struct result promised_instead_all(struct store *s, struct arena *a, int32_t from_day,
                                            struct promised_instead **out, size_t *out_count);
/* Does the order's newest promise give it packs of the item? */
MUST_USE struct result promised_gives(struct store *s, const char *order, const char *item,
                                      bool *out);

#endif
