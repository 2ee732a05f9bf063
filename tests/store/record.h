/* What the tests of this room do to a record. */
#ifndef TESTS_STORE_RECORD_H
#define TESTS_STORE_RECORD_H

#include "../support.h"

#include "store/store.h"

static inline struct store *open_ok(const char *path, enum store_mode mode)
{
    struct store *s = NULL;
    assert_ok(store_open(path, mode, &s));
    assert_non_null(s);
    return s;
}

static inline struct result open_code(const char *path, enum store_mode mode)
{
    struct store *s = (struct store *)(uintptr_t)1;
    struct result r = store_open(path, mode, &s);
    if (r.code != CODE_OK) {
        assert_null(s);
    } else {
        store_close(s);
    }
    return r;
}

/* One attachment with the digest number of len bytes, in the transaction that is open. */
static inline struct result blob_add(struct store *s, int64_t number, const char *bytes, size_t len)
{
    bool row;
    struct statement *q = store_prepare(s, Q_BLOB_PUT);
    store_bind_bytes(q, 1, &number, sizeof number);
    store_bind_text(q, 2, "photo");
    store_bind_text(q, 3, "epicotyl.png");
    store_bind_int(q, 4, (int64_t)len);
    store_bind_bytes(q, 5, bytes, len);
    return store_step(q, &row);
}

static inline struct result blobs_add(struct store *s, int64_t first, int count, size_t len)
{
    char *bytes = calloc(1, len + 1);
    struct result r = store_begin(s);
    for (int i = 0; i < count && r.code == CODE_OK; i++) {
        r = blob_add(s, first + i, bytes, len);
    }
    free(bytes);
    if (r.code != CODE_OK) {
        store_rollback(s);
        return r;
    }
    return store_commit(s);
}

static inline int64_t blobs_count(struct store *s)
{
    int64_t count = 0;
    bool row;
    struct statement *q = store_prepare(s, Q_BLOB_ALL);
    for (;;) {
        assert_ok(store_step(q, &row));
        if (!row) {
            return count;
        }
        count++;
    }
}

/* What an outsider with SQL could do to the file. */
void outside_sql(const char *path, const char *sql);
int64_t file_size(const char *path);

#endif
