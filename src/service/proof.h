/* That an entry stands in the daybook under a tree head. */
#ifndef SERVICE_PROOF_H
#define SERVICE_PROOF_H

#include "ledger/ledger.h"

/* The newest signed head; size 0: none was signed yet. why is NULL. */
MUST_USE struct result proof_head(struct store *s, struct head *out);
/* How many entries the record's tree has. */
MUST_USE struct result proof_size(struct store *s, int64_t *out);

struct proof {
    int64_t size, index; /* of the tree, of the leaf in it: entry - 1 */
    struct hash leaf, root;
    struct hash path[64];
    size_t path_count;
};

/* The root of the first size entries, 1 or more and no more than there are.
 *
 * One tree is kept in the process for all its readers and grows with the daybook; it is held
 * against the record's own edge each time and read again where it is of another record. Any thread.
 * STORE_DAMAGED when the entries do not give the tree that the record keeps. */
MUST_USE struct result proof_root(struct store *s, int64_t size, struct hash *out);
/* The path of an entry to that root; 1 <= entry <= size. */
MUST_USE struct result proof_of(struct store *s, int64_t size, int64_t entry, struct proof *out);

#endif
