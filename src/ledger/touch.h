/* What an entry touches, read from its effects: the lots whose history it is part of. A list that
 * is too long only costs time: who judges by it judges exactly. */
#ifndef LEDGER_TOUCH_H
#define LEDGER_TOUCH_H

#include "ledger/kin.h"
#include "ledger/ledger.h"

/* Adds the lots that the entry itself names: made, moved, fed, tested, treated, sampled, read,
 * shipped. What was told of a place or a run adds the lots that were on it about then. The rows
 * must still be readable in the store, struck or not. */
MUST_USE struct result touch_add(struct store *s, struct arena *a, const struct entry *e,
                                 struct id_set *lots);
/* The effects of an entry; the caller owns them. */
MUST_USE struct result entry_effects(const struct entry *e, json_t **out);
/* Fields of an effect, 1-based as they stand in the array; 0 and NULL where null. */
int64_t effect_int(const json_t *effect, size_t at);
const char *effect_text(const json_t *effect, size_t at);
bool effect_is(const json_t *effect, const char *name);

#endif
