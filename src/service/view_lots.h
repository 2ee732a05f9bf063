/* Lots as pages and the command "lots" show them: the list, one lot with its story, a unit, and
 * what a scanned code is. */
#ifndef SERVICE_VIEW_LOTS_H
#define SERVICE_VIEW_LOTS_H

#include "service/view.h"

enum { VIEW_PAGE_MAX = 200, VIEW_PAGE_DEFAULT = 50 };

/* NULL or "": not asked. state: open (the default: something is left of it), held, released, all.
 * q: what the code begins with; looks among all lots whatever the state. cursor: the "next" of the
 * page before. limit 0: the default. */
struct view_lots_asked {
    const char *kind, *item, *state, *q, *cursor;
    int64_t limit;
};
/* {"lots":[{lot, kind, item, place, day, mg, pieces, holds, state, tone, best_before}],"next"}:
 * newest first, with q by code. place, best_before and next may be null. FIELD_CHOICE state, kind
 * and item (naming those there are), PROFILE_MISSING, ITEM_UNKNOWN (there are none yet),
 * FIELD_RANGE limit, cursor. */
MUST_USE struct result view_lots(struct view *v, const struct view_lots_asked *asked, json_t **out);

/* One lot. markets: a comma list its clauses are judged for; "": its own, or all of the profile's.
 * {lot, item, kind, place, day, born_ms, best_before, markets, mg, pieces, state, tone, supplier,
 * supplier_lot, holds, clauses, unmet, may_release, releases, story, balance, units, dry}.
 * LOT_UNKNOWN, MARKET_UNKNOWN. */
MUST_USE struct result view_lot(struct view *v, const char *code, const char *markets,
                                json_t **out);
/* The same as it stood when the record had size entries, by the profile in force then. Replays the
 * record: seconds on a long one. TREE_SIZE, PROFILE_MISSING besides. */
MUST_USE struct result view_lot_known(struct view *v, const char *code, const char *markets,
                                      int64_t size, json_t **out);
/* The legs of a lot's amounts: [{entry, kind, unit, amount, how, instrument, uncertainty}]. */
MUST_USE struct result view_lot_balance(struct view *v, int64_t lot, json_t **out_array);

/* {code, kind, lot, pieces, mg, place, state, shipment, customer, holds}. UNIT_UNKNOWN. */
MUST_USE struct result view_unit(struct view *v, const char *code, json_t **out);

/* What a scan is: {"kind":"lot"|"unit"|"shipment"|"place"|"sample"|"person"|null, "code"}. Element
 * strings of GS1 are read, bracketed or as scanned: the case number (21), the number of a logistic
 * unit (00), else the lot (10). A person's badge is not known here: "P-12" is person 12. */
MUST_USE struct result view_find(struct view *v, const char *code, json_t **out);

#endif
