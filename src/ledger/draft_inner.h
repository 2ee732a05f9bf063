/* What draft.c, draft_amount.c and draft_lot.c share; nobody else includes this. */
#ifndef LEDGER_DRAFT_INNER_H
#define LEDGER_DRAFT_INNER_H

#include "ledger/draft.h"

struct draft_blob {
    struct draft_blob *next;
    struct hash sha256;
    const char *kind, *name;
    const void *bytes;
    size_t len;
};

struct draft_made {
    struct draft_made *next;
    int64_t id;
    const char *code;
};

struct draft_covered {
    struct draft_covered *next;
    int64_t hold, lot, unit;
};

#endif
