/* Holds as rows: what one covers, and whether anything of that is still here. */
#ifndef LEDGER_HOLD_H
#define LEDGER_HOLD_H

#include "ledger/kin.h"
#include "ledger/view.h"

struct hold_row {
    int64_t id, placed_ms, entry;
    int64_t run, from_ms, to_ms, lifted_ms; /* 0 where none */
    const char *code, *kind, *needs;
};
MUST_USE struct result hold_by_code(struct store *s, struct arena *a, const char *code,
                                    struct hold_row *out, bool *out_found);
/* What it covers: whole lots, and units of lots. */
MUST_USE struct result hold_covers(struct store *s, int64_t hold, struct id_set *out_lots,
                                   struct id_set *out_units);
/* Is some of a lot still here (a positive balance, or a case that stands here)? */
MUST_USE struct result lot_is_here(struct store *s, int64_t lot, bool *out);
/* The entry that struck one; 0: it stands. */
MUST_USE struct result struck_by(struct store *s, int64_t entry, int64_t *out);

#endif
