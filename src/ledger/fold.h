/* Folding: what an entry's effects do to the derived tables. The same for a new entry and in a
 * replay. */
#ifndef LEDGER_FOLD_H
#define LEDGER_FOLD_H

#include "base/json.h"
#include "store/store.h"

/* effects: the body's array. STORE_DAMAGED when an effect does not have the shape of effects.def.
 */
MUST_USE struct result fold_effects(struct store *s, int64_t seq, const json_t *effects);
/* The inverse of the SET effects of a struck entry, newest first, appended to out (an array). Rows
 * are undone by the strike effect itself. */
void fold_inverse(const json_t *effects, json_t *out);
const char *effect_name(int effect);
/* Field letters of a ROW effect (with e), or NULL for a SET. */
const char *effect_fields(int effect);

#endif
