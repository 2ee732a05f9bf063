/* A supplier's approval held against what comes in. */
#ifndef LEDGER_SUPPLIER_H
#define LEDGER_SUPPLIER_H

#include "ledger/draft.h"

/* Is the supplier approved at the moment of the command? Always, where the profile does not ask. */
MUST_USE struct result supplier_approved(struct draft *d, const char *supplier, bool *out);
/* Not approved: books the deviation and holds the lot until a paper is there for it. */
MUST_USE struct result supplier_hold(struct draft *d, int64_t lot, const char *supplier);

#endif
