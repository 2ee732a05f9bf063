/* Between the verify_*.c files; nobody else includes this. */
#ifndef LEDGER_VERIFY_INNER_H
#define LEDGER_VERIFY_INNER_H

#include "ledger/verify.h"

struct verifying {
    struct store *store;   /* the record */
    struct store *replica; /* the replay */
    struct arena *arena;
    struct arena scratch; /* cleared again and again */
    const struct verify_progress *progress;
    struct verify_report *out;
};

/* Notes a difference; key, is and wanted are copied. */
void verify_found(struct verifying *v, const char *table, const char *key, const char *is,
                  const char *wanted);
/* VERIFY_STOPPED. */
MUST_USE struct result verify_step(struct verifying *v, const char *what, int64_t done, int64_t of);

/* Entries and tree; fills the replica. */
MUST_USE struct result verify_daybook(struct verifying *v);
/* Derived tables against the replica. */
MUST_USE struct result verify_tables(struct verifying *v);
/* What must hold of any record. */
MUST_USE struct result verify_rules(struct verifying *v);
/* Papers and pieces. */
MUST_USE struct result verify_files(struct verifying *v);

#endif
