#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "store/sqlite/memo.h"

static enum query query_of(const struct statement *q)
{
    return (enum query)(q - q->store->statements);
}

/* True when the text is good against the schema as it should be: then a file that refuses it was
 * tampered with. */
static bool compiles_on_a_new_record(const char *text)
{
    struct store *fresh;
    struct result r = store_open(NULL, STORE_MEMORY, &fresh);
    if (r.code != CODE_OK) {
        return true;
    }
    sqlite3_stmt *compiled = NULL;
    int rc = sqlite3_prepare_v2(fresh->db, text, -1, &compiled, NULL);
    sqlite3_finalize(compiled);
    store_close(fresh);
    return rc == SQLITE_OK;
}

static struct result compile(struct statement *q)
{
    const struct embedded_query *query = &embedded_queries[query_of(q)];
    sqlite3 *db = q->store->db;
    int rc = sqlite3_prepare_v3(db, query->text, -1, SQLITE_PREPARE_PERSISTENT, &q->compiled, NULL);
    if (rc == SQLITE_OK) {
        return RESULT_OK;
    }
    struct result r = sqlite_fail(db, rc);
    if ((rc & 0xff) == SQLITE_ERROR) {
        if (!compiles_on_a_new_record(query->text)) {
            fprintf(stderr, "query %s: %s\n", query->name, r.value[0]);
            check_failed("a query of our own compiles", __FILE__, __LINE__);
        }
        r.code = CODE_STORE_DAMAGED;
    }
    return r;
}

static void failure_keep(struct statement *q, const struct result *r)
{
    q->failed = malloc(sizeof *q->failed);
    CHECK(q->failed != NULL);
    *q->failed = *r;
}

struct statement *store_prepare(struct store *s, enum query query)
{
    CHECK(s->magic == STORE_MAGIC && (int)query >= 0 && query < QUERY_COUNT);
    struct statement *q = &s->statements[query];
    free(q->failed);
    q->failed = NULL;
    q->on_row = false;
    if (q->compiled == NULL) {
        struct result r = compile(q);
        if (r.code != CODE_OK) {
            failure_keep(q, &r);
            return q;
        }
        q->use = memo_use_new(s, query);
    }
    if (q->use != NULL) {
        memo_begin(q->use);
    } else {
        sqlite3_reset(q->compiled);
        sqlite3_clear_bindings(q->compiled);
    }
    return q;
}

void store_bind_int(struct statement *q, int at, int64_t value)
{
    if (q->use != NULL) {
        memo_bind_int(q->use, at, value);
        return;
    }
    CHECK(q->compiled == NULL || sqlite3_bind_int64(q->compiled, at, value) == SQLITE_OK);
}

void store_bind_text(struct statement *q, int at, const char *text)
{
    if (q->use != NULL && text != NULL) {
        memo_bind_text(q->use, at, text);
        return;
    }
    CHECK(q->compiled == NULL ||
          sqlite3_bind_text(q->compiled, at, text, -1, SQLITE_TRANSIENT) == SQLITE_OK);
}

void store_bind_bytes(struct statement *q, int at, const void *bytes, size_t len)
{
    if (q->compiled == NULL) {
        return;
    }
    CHECK(q->use == NULL); /* no kept query asks by bytes */
    int rc = bytes != NULL && len == 0
                 ? sqlite3_bind_zeroblob(q->compiled, at, 0)
                 : sqlite3_bind_blob64(q->compiled, at, bytes, len, SQLITE_TRANSIENT);
    CHECK(rc == SQLITE_OK);
}

void store_bind_null(struct statement *q, int at)
{
    CHECK(q->compiled == NULL || q->use != NULL || sqlite3_bind_null(q->compiled, at) == SQLITE_OK);
}

struct result store_step(struct statement *q, bool *out_row)
{
    *out_row = false;
    q->on_row = false;
    if (q->failed != NULL) {
        return *q->failed;
    }
    CHECK(q->compiled != NULL);
    if (q->use != NULL) {
        bool served;
        TRY(memo_step(q->use, q->compiled, &served, out_row));
        if (served) {
            q->on_row = *out_row;
            return RESULT_OK;
        }
    }
    int writes = embedded_queries[query_of(q)].writes;
    if (writes >= 0) {
        memo_written(q->store, writes);
    }
    /* Nothing is written by itself: also not after a fault that ended the transaction. */
    CHECK(sqlite3_stmt_readonly(q->compiled) || sqlite3_get_autocommit(q->store->db) == 0);
    int rc = sqlite3_step(q->compiled);
    if (rc == SQLITE_ROW) {
        q->on_row = true;
        *out_row = true;
        return RESULT_OK;
    }
    struct result r = rc == SQLITE_DONE ? RESULT_OK : sqlite_fail(q->store->db, rc);
    sqlite3_reset(q->compiled);
    return r;
}

void store_done(struct statement *q)
{
    if (q->use != NULL) {
        memo_begin(q->use);
    }
    if (q->compiled != NULL) {
        sqlite3_reset(q->compiled);
    }
    q->on_row = false;
}

/* A row that stands: served from what is kept, or the statement's own. */
static bool served(const struct statement *q, int column)
{
    CHECK(q->on_row);
    if (q->use != NULL && memo_on_row(q->use)) {
        return true;
    }
    CHECK(column >= 0 && column < sqlite3_column_count(q->compiled));
    return false;
}

int64_t store_int(struct statement *q, int column)
{
    return served(q, column) ? memo_int(q->use, column) : sqlite3_column_int64(q->compiled, column);
}

const char *store_text(struct statement *q, int column)
{
    return served(q, column) ? memo_text(q->use, column)
                             : (const char *)sqlite3_column_text(q->compiled, column);
}

const void *store_bytes(struct statement *q, int column, size_t *out_len)
{
    CHECK(!served(q, column)); /* no kept query gives bytes */
    const void *bytes = sqlite3_column_blob(q->compiled, column);
    *out_len = (size_t)sqlite3_column_bytes(q->compiled, column);
    return bytes == NULL && sqlite3_column_type(q->compiled, column) != SQLITE_NULL ? "" : bytes;
}

bool store_is_null(struct statement *q, int column)
{
    return served(q, column) ? memo_is_null(q->use, column)
                             : sqlite3_column_type(q->compiled, column) == SQLITE_NULL;
}

void statements_reset(struct store *s)
{
    for (int i = 0; i < QUERY_COUNT; i++) {
        if (s->statements[i].compiled != NULL && sqlite3_stmt_busy(s->statements[i].compiled)) {
            sqlite3_reset(s->statements[i].compiled);
        }
        if (s->statements[i].use != NULL) {
            memo_begin(s->statements[i].use);
        }
        s->statements[i].on_row = false;
    }
}

void statements_close(struct store *s)
{
    sqlite3_finalize(s->begin);
    sqlite3_finalize(s->commit);
    s->begin = s->commit = NULL;
    for (int i = 0; i < QUERY_COUNT; i++) {
        sqlite3_finalize(s->statements[i].compiled);
        memo_use_free(s->statements[i].use);
        free(s->statements[i].failed);
        s->statements[i].use = NULL;
        s->statements[i].failed = NULL;
        s->statements[i].compiled = NULL;
        s->statements[i].on_row = false;
    }
}
