/* Pieces of a packed lot counted at a check, and what they say of the lot: the profile's plan for
 * the check and item, with what became of the line's lots of the item before (acceptance.h). */
#ifndef LEDGER_CHECK_PIECES_H
#define LEDGER_CHECK_PIECES_H

#include "ledger/acceptance.h"
#include "ledger/check.h"

struct check_pieces {
    struct acceptance_series series;
    struct acceptance_plan plan;
    struct switching after; /* where inspection stands with this lot taken */
    int64_t size, inspected, bad;
    const char *what;
    bool again; /* the lot was decided on before: that changes no inspection */
};

/* The line and the pieces of a packed lot, and how it is inspected at a check; *out_asked false:
 * the profile asks no sample of it. again: as above. */
MUST_USE struct result check_pieces_of(struct store *s, struct arena *a, const struct profile *p,
                                       const char *check, const struct lot *lot, int64_t at_ms,
                                       struct check_pieces *out, bool *out_asked);
/* Reads "inspected", "bad" and "what" of the command, where they are given, and judges them:
 * c->counted, and c->refused where the lot is not accepted. PACKS_NOT_INSPECTED. */
MUST_USE struct result check_pieces_read(struct draft *d, struct check *c,
                                         struct check_pieces *out);
/* Notes them; not accepted, or too few looked at: the lot is held, with a deviation. */
MUST_USE struct result check_pieces_book(struct draft *d, struct check *c,
                                         const struct check_pieces *p);

#endif
