#include "ledger/known.h"

#include <string.h>

#include "ledger/daybook.h"
#include "ledger/replay.h"

static struct result run(struct statement *q)
{
    bool row = true;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

/* Profiles whole: they say how the rest is read. Of others only what they are. */
static struct result copy_blobs(struct store *s, struct store *to)
{
    struct statement *q = store_prepare(s, Q_KNOWN_BLOBS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        size_t len;
        struct statement *put = store_prepare(to, Q_BLOB_PUT);
        const void *bytes = store_bytes(q, 0, &len);
        store_bind_bytes(put, 1, bytes, len);
        store_bind_text(put, 2, store_text(q, 1));
        store_bind_text(put, 3, store_text(q, 2));
        store_bind_int(put, 4, store_int(q, 3));
        bytes = store_bytes(q, 4, &len);
        if (bytes != NULL) {
            store_bind_bytes(put, 5, bytes, len);
        } else {
            store_bind_null(put, 5);
        }
        TRY(run(put));
    }
}

static struct result copy_heads(struct store *s, struct store *to, int64_t size)
{
    struct statement *q = store_prepare(s, Q_HEAD_ALL);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (store_int(q, 0) > size) {
            continue;
        }
        struct statement *put = store_prepare(to, Q_HEAD_PUT);
        size_t len;
        const void *bytes = store_bytes(q, 1, &len);
        store_bind_int(put, 1, store_int(q, 0));
        store_bind_bytes(put, 2, bytes, len);
        store_bind_int(put, 3, store_int(q, 2));
        store_bind_text(put, 4, store_text(q, 3));
        bytes = store_bytes(q, 4, &len);
        store_bind_bytes(put, 5, bytes, len);
        bytes = store_bytes(q, 5, &len);
        store_bind_bytes(put, 6, bytes, len);
        TRY(run(put));
    }
}

static struct result put_tree(struct store *to, const struct merkle_edge *tree)
{
    struct statement *q = store_prepare(to, Q_TREE_PUT);
    size_t peaks = (size_t)__builtin_popcountll(tree->size);
    store_bind_int(q, 1, (int64_t)tree->size);
    store_bind_bytes(q, 2, tree->peak, peaks * sizeof tree->peak[0]);
    return run(q);
}

static struct result replay_to(struct store *s, int64_t size, struct arena *scratch,
                               struct store *to)
{
    struct merkle_edge tree = {0};
    struct statement *q = store_prepare(s, Q_KNOWN_ENTRIES);
    store_bind_int(q, 1, size);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        struct entry e;
        entry_read_row(q, scratch, &e);
        TRY(replay_copy(to, &e));
        TRY(replay_fold(to, &e));
        merkle_edge_push(&tree, &e.leaf);
        arena_clear(scratch);
    }
    if ((int64_t)tree.size != size) {
        const char *have = arena_printf(scratch, "%lld", (long long)tree.size);
        return FAIL2(TREE_SIZE, "size", arena_printf(scratch, "%lld", (long long)size), have);
    }
    TRY(put_tree(to, &tree));
    TRY(copy_blobs(s, to));
    return copy_heads(s, to, size);
}

struct result known_on(struct store *s, int64_t size, struct store **out)
{
    struct store *to = NULL;
    struct arena scratch;
    TRY(replay_begin(&to));
    arena_init(&scratch, ARENA_LIMIT_DEFAULT);
    struct result r = size >= 0 ? replay_to(s, size, &scratch, to)
                                : FAIL2(TREE_SIZE, "size", "below zero", "0 and more");
    arena_release(&scratch);
    if (r.code == CODE_OK) {
        r = store_commit(to);
    }
    if (r.code != CODE_OK) {
        store_close(to);
        return r;
    }
    *out = to;
    return RESULT_OK;
}
