/* Inside this room: what a store is made of, and what a driver does for it. store.c decides when a
 * file may be opened, locked, made, upgraded and copied; the driver (sqlite/) knows how. */
#ifndef STORE_DRIVER_H
#define STORE_DRIVER_H

#include "store/embedded.h"
#include "store/store.h"

enum { STORE_MAGIC = 0x53544f52 };

struct statement {
    struct store *store;
    struct sqlite3_stmt *compiled; /* NULL until first used */
    struct result *failed;         /* why it did not compile; store_step returns it */
    struct memo_use *use;          /* NULL: its answers are not kept */
    bool on_row;
};

struct store {
    uint32_t magic;
    enum store_mode mode;
    bool in_transaction;
    int lock_fd; /* -1 where none is held */
    char *path;
    struct sqlite3 *db;
    int log_pages;     /* in the write-ahead log after the last commit */
    int checkpoint_at; /* log size that makes the next checkpoint due */
    struct result (*before_commit)(void *self);
    void *before_commit_self;
    struct sqlite3_stmt *begin, *commit; /* NULL until first used */
    struct memo_slots *memo;             /* NULL until first used */
    struct statement statements[QUERY_COUNT];
};

static inline bool store_is_reader(const struct store *s)
{
    return s->mode == STORE_READ || s->mode == STORE_COPY;
}

/* A new empty file with the settings of a record; path is an empty file. */
MUST_USE struct result driver_create(struct store *s, const char *path);
/* An existing file, or for STORE_MEMORY a private one that vanishes. STORE_FOREIGN when it is not
 * one of ours. */
MUST_USE struct result driver_open(struct store *s, const char *path);
void driver_close(struct store *s);
/* The schema number the file carries; STORE_FOREIGN, STORE_DAMAGED. */
MUST_USE struct result driver_schema_number(struct store *s, int *out);
/* Runs schema NUMBER (its words replaced) and stamps the file with it, inside a transaction. */
MUST_USE struct result driver_schema_apply(struct store *s, int number);
MUST_USE struct result driver_begin(struct store *s);
MUST_USE struct result driver_commit(struct store *s);
void driver_rollback(struct store *s);
MUST_USE struct result driver_mark(struct store *s);
MUST_USE struct result driver_back(struct store *s);
/* Copies the record into the empty file at path, then checks the copy. */
MUST_USE struct result driver_copy(struct store *s, const char *path);

/* lock.c: a kernel lock on a file beside the record. It dies with the process. STORE_BUSY names the
 * holder. */
MUST_USE struct result lock_take(const char *record_path, int *out_fd);
void lock_drop(int fd);

#endif
