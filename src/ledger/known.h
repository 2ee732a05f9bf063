/* The record as it was known at a tree size: what had been entered by then, and nothing since. */
#ifndef LEDGER_KNOWN_H
#define LEDGER_KNOWN_H

#include "ledger/ledger.h"

/* A scratch record with the first size entries replayed, the tree and heads of that size, profiles,
 * and of papers and pieces what was known of them without their bytes. Everything that reads a
 * record reads it. The caller closes it. TREE_SIZE when the record has no such size; STORE_DAMAGED
 * when an entry can't be replayed. */
MUST_USE struct result known_on(struct store *s, int64_t size, struct store **out);

#endif
