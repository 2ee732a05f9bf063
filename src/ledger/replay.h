/* Entries played again into another record. */
#ifndef LEDGER_REPLAY_H
#define LEDGER_REPLAY_H

#include "ledger/ledger.h"

/* A scratch record, inside a transaction. */
MUST_USE struct result replay_begin(struct store **out);
/* Folds an entry's effects, nothing else. */
MUST_USE struct result replay_fold(struct store *to, const struct entry *e);
/* Copies the entry itself as it stands. */
MUST_USE struct result replay_copy(struct store *to, const struct entry *e);

#endif
