/* The one way to the record's file. Nothing outside this room speaks SQL: a caller names a query of
 * query/<room>.sql (Q_LOT_BY_CODE for the one headed "-- name: lot_by_code"), binds its parameters
 * by number (1-based, ?1 in the text) and steps.
 *
 * One writing connection per plant, used by one thread at a time, the only one that checkpoints:
 * Debian 12's SQLite 3.40 has the WAL-reset fault that needs a checkpoint and a commit on two
 * connections. Readers never checkpoint.
 *
 * Errors: STORE_FULL, STORE_FAILED, STORE_BUSY, STORE_DAMAGED, MEMORY_SHORT; from opening also
 * STORE_MISSING, STORE_EXISTS, STORE_FOREIGN, STORE_NEWER, STORE_OLDER, FILE_OPEN, FILE_WRITE. */
#ifndef STORE_STORE_H
#define STORE_STORE_H

#include "base/result.h"
#include "store/query_names.h"

struct store;
struct statement;

enum store_mode {
    STORE_CREATE, /* a new file at path, which must not exist; then as STORE_WRITE */
    STORE_WRITE,  /* the writer, one at a time; upgrades an older schema after backing it up */
    STORE_READ,   /* any number, beside the writer, in other threads or processes */
    STORE_COPY,   /* as STORE_READ, an older schema too: to be copied by store_backup, not read */
    STORE_MEMORY  /* a scratch record that vanishes, for replay and "as known on"; path is not used
                   */
};

/* path: the record's file. Beside it stand -wal and -shm while it is open, and .lock for ever. */
MUST_USE struct result store_open(const char *path, enum store_mode mode, struct store **out);
/* An open transaction is rolled back. NULL is taken. */
void store_close(struct store *s);
/* Transactions do not nest. Writing without one is a programmer error; a reader's gives it one
 * unmoving view. */
MUST_USE struct result store_begin(struct store *s);
/* What is written once a transaction, however much else was: before_commit runs inside store_commit
 * and may write; where it fails, the commit does. One at a time; NULL takes it away. */
void store_before_commit(struct store *s, struct result (*before_commit)(void *self), void *self);
/* Once it returns OK the transaction is on the disk. After a failure it is rolled back and the
 * store is as before begin. */
MUST_USE struct result store_commit(struct store *s);
/* Harmless without a transaction. Ends every statement, as store_commit does. */
void store_rollback(struct store *s);
/* A mark inside a transaction, and back to it: what was written since is gone, the transaction goes
 * on. One mark at a time; each ends with store_back. */
MUST_USE struct result store_mark(struct store *s);
MUST_USE struct result store_back(struct store *s);
/* A statement ready to bind; compiled once, kept by the store. The same query must be stepped to
 * its end or re-prepared before it is used again: a query is never open twice. */
struct statement *store_prepare(struct store *s, enum query query);
void store_bind_int(struct statement *q, int at, int64_t value);
void store_bind_text(struct statement *q, int at, const char *text); /* NULL binds null; copied */
void store_bind_bytes(struct statement *q, int at, const void *bytes, size_t len);
void store_bind_null(struct statement *q, int at);
/* *out_row false at the end (the statement is reset then). */
MUST_USE struct result store_step(struct statement *q, bool *out_row);
/* No more of its rows are wanted; as after its end. */
void store_done(struct statement *q);
/* Columns are 0-based; a null integer reads as 0, null text or bytes as NULL. Valid until the next
 * step. */
int64_t store_int(struct statement *q, int column);
const char *store_text(struct statement *q, int column);
const void *store_bytes(struct statement *q, int column, size_t *out_len);
bool store_is_null(struct statement *q, int column);
/* A checked copy of the whole record at path, which must not exist (STORE_EXISTS); outside a
 * transaction. A reader's store does not keep the writer waiting. The copy is one file, readable by
 * this user only. */
MUST_USE struct result store_backup(struct store *s, const char *path);

#endif
