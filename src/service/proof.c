#include "service/proof.h"

#include <pthread.h>
#include <string.h>

#include "base/check.h"
#include "base/merkle_tree.h"

static struct result finish(struct statement *q, bool row)
{
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result proof_head(struct store *s, struct head *out)
{
    struct statement *q = store_prepare(s, Q_HEAD_LAST);
    bool row;
    size_t len;
    *out = (struct head){.size = 0};
    TRY(store_step(q, &row));
    if (row) {
        out->size = store_int(q, 0);
        const void *bytes = store_bytes(q, 1, &len);
        memcpy(out->root.b, bytes, len == 32 ? 32 : 0);
        out->signed_ms = store_int(q, 2);
        bytes = store_bytes(q, 4, &len);
        memcpy(out->public_key, bytes, len == 32 ? 32 : 0);
        bytes = store_bytes(q, 5, &len);
        memcpy(out->signature, bytes, len == 64 ? 64 : 0);
    }
    return finish(q, row);
}

static struct result edge_read(struct store *s, struct merkle_edge *out)
{
    struct statement *q = store_prepare(s, Q_TREE_GET);
    bool row;
    size_t len = 0;
    *out = (struct merkle_edge){0};
    TRY(store_step(q, &row));
    if (row) {
        out->size = (uint64_t)store_int(q, 0);
        const void *peaks = store_bytes(q, 1, &len);
        size_t want = (size_t)__builtin_popcountll(out->size) * sizeof out->peak[0];
        if (len != want) {
            return FAIL1(STORE_DAMAGED, "", "the tree's edge has another length");
        }
        memcpy(out->peak, peaks, want);
    }
    return finish(q, row);
}

struct result proof_size(struct store *s, int64_t *out)
{
    struct merkle_edge edge;
    TRY(edge_read(s, &edge));
    *out = (int64_t)edge.size;
    return RESULT_OK;
}

static pthread_mutex_t tree_lock = PTHREAD_MUTEX_INITIALIZER;
static struct merkle_tree tree; /* under the lock */

static struct result leaves_after(struct store *s, uint64_t size)
{
    struct statement *q = store_prepare(s, Q_PAGE_LEAVES);
    store_bind_int(q, 1, (int64_t)merkle_tree_size(&tree));
    store_bind_int(q, 2, (int64_t)size);
    for (;;) {
        bool row;
        size_t len;
        struct hash leaf;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        const void *bytes = store_bytes(q, 0, &len);
        if (len != sizeof leaf.b) {
            return FAIL1(STORE_DAMAGED, "", "an entry's leaf has another length");
        }
        memcpy(leaf.b, bytes, len);
        merkle_tree_push(&tree, &leaf);
    }
}

/* Does the tree in memory begin with the record's? */
static bool tree_fits(const struct merkle_edge *edge)
{
    if (merkle_tree_size(&tree) < edge->size) {
        return false;
    }
    struct hash kept = merkle_edge_root(edge), own = merkle_tree_root(&tree, edge->size);
    return hash_equal(&kept, &own);
}

/* Under the lock: the tree in memory covers the record that is asked. */
static struct result tree_follow(struct store *s, int64_t size)
{
    struct merkle_edge edge;
    TRY(edge_read(s, &edge));
    if (size < 1 || (uint64_t)size > edge.size) {
        return FAIL1(STORE_DAMAGED, "", "a head covers more entries than there are");
    }
    TRY(leaves_after(s, edge.size));
    if (!tree_fits(&edge)) { /* it is of another record: read this one from its first entry */
        merkle_tree_clear(&tree);
        TRY(leaves_after(s, edge.size));
    }
    if (!tree_fits(&edge)) {
        merkle_tree_clear(&tree);
        return FAIL1(STORE_DAMAGED, "", "the entries do not give the tree that is kept");
    }
    return RESULT_OK;
}

struct result proof_root(struct store *s, int64_t size, struct hash *out)
{
    pthread_mutex_lock(&tree_lock);
    struct result r = tree_follow(s, size);
    if (r.code == CODE_OK) {
        *out = merkle_tree_root(&tree, (uint64_t)size);
    }
    pthread_mutex_unlock(&tree_lock);
    return r;
}

struct result proof_of(struct store *s, int64_t size, int64_t entry, struct proof *out)
{
    CHECK(entry >= 1 && entry <= size);
    uint64_t index = (uint64_t)entry - 1;
    *out = (struct proof){.size = size, .index = entry - 1};
    pthread_mutex_lock(&tree_lock);
    struct result r = tree_follow(s, size);
    if (r.code == CODE_OK) {
        out->leaf = tree.level[0].node[index];
        out->root = merkle_tree_root(&tree, (uint64_t)size);
        out->path_count = merkle_tree_path(&tree, (uint64_t)size, index, out->path);
    }
    pthread_mutex_unlock(&tree_lock);
    return r;
}
