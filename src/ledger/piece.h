/* Sealed pieces of series as rows, and who read one. */
#ifndef LEDGER_PIECE_H
#define LEDGER_PIECE_H

#include "base/digest.h"
#include "ledger/kin.h"

struct piece {
    int64_t entry, from_ms, to_ms;
    const char *series;
    struct hash sha;
};
/* One that is neither struck nor dropped; of several of the same bytes the first. */
MUST_USE struct result piece_by_sha(struct store *s, struct arena *a, const struct hash *sha,
                                    struct piece *out, bool *out_found);
/* Adds the entries of standing treatments whose log was read from the series at a time that the
 * piece is of. */
MUST_USE struct result piece_readers(struct store *s, const struct piece *p,
                                     struct id_set *entries);

#endif
