/* What proves a dossier: the last signed head, and the paths of the signed entries to its root. */
#include <string.h>

#include "service/dossier.h"
#include "service/dossier_inner.h"

static struct result tree_size(struct store *s, int64_t *out)
{
    struct statement *q = store_prepare(s, Q_TREE_GET);
    bool row;
    TRY(store_step(q, &row));
    *out = row ? store_int(q, 0) : 0;
    return told_finish(q, row);
}

/* size 0: no head was signed yet. */
static struct result head_last(struct store *s, struct head *out)
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
    return told_finish(q, row);
}

struct result dossier_head_behind(struct plant *reader, bool *out)
{
    int64_t size;
    struct head head;
    TRY(tree_size(reader->store, &size));
    TRY(head_last(reader->store, &head));
    *out = head.size < size;
    return RESULT_OK;
}

static struct result leaves_read(struct telling *t, int64_t size, struct hash **out)
{
    struct hash *leaves = ARENA_ARRAY(t->arena, struct hash, (size_t)size);
    struct statement *q = store_prepare(t->store, Q_DOSSIER_LEAVES);
    store_bind_int(q, 1, size);
    int64_t count = 0;
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        size_t len;
        const void *bytes = store_bytes(q, 0, &len);
        if (count < size && len == sizeof leaves->b) {
            memcpy(leaves[count++].b, bytes, len);
        }
    }
    *out = leaves;
    return count == size ? RESULT_OK
                         : FAIL1(STORE_DAMAGED, "", "entries are missing before the signed head");
}

static void prove(struct telling *t, const struct hash *leaves, int64_t size)
{
    struct dossier_proof *proofs = ARENA_ARRAY(t->arena, struct dossier_proof, t->signed_count);
    size_t count = 0;
    for (size_t i = 0; i < t->signed_count; i++) {
        int64_t entry = t->signed_entries[i];
        if (entry > size) {
            continue; /* told after the head */
        }
        struct hash *path = ARENA_ARRAY(t->arena, struct hash, 64);
        uint64_t index = (uint64_t)entry - 1;
        proofs[count++] = (struct dossier_proof){
            .entry = entry,
            .leaf_index = entry - 1,
            .leaf = leaves[index],
            .path = path,
            .path_count = merkle_inclusion(leaves, (uint64_t)size, index, path)};
    }
    t->paper.proofs = proofs;
    t->paper.proof_count = count;
}

static void head_cautions(struct telling *t, const struct head *head, int64_t size)
{
    if (head->size == 0) {
        told_caution(t, "No tree head was signed yet: the root on this paper is not signed.");
    } else if (head->size < size) {
        told_caution(t,
                     arena_printf(t->arena,
                                  "The last signed head covers %lld of %lld entries. What was "
                                  "told after entry %lld is not proved here.",
                                  (long long)head->size, (long long)size, (long long)head->size));
    }
}

struct result told_prove(struct telling *t)
{
    int64_t size;
    struct head head;
    struct hash *leaves;
    TRY(tree_size(t->store, &size));
    TRY(head_last(t->store, &head));
    head_cautions(t, &head, size);
    bool is_signed = head.size > 0;
    size = is_signed ? head.size : size;
    TRY(leaves_read(t, size, &leaves));
    struct hash root = merkle_root(leaves, (uint64_t)size);
    if (is_signed && (!hash_equal(&root, &head.root) || !head_holds(&head))) {
        return FAIL1(STORE_DAMAGED, "", "the daybook does not give the root that was signed");
    }
    t->paper.tree_size = size;
    t->paper.root = root;
    if (is_signed) {
        t->paper.head_signature = hex_text(t->arena, head.signature, sizeof head.signature);
        t->paper.key_id = hex_text(t->arena, head.public_key, sizeof head.public_key);
    }
    prove(t, leaves, size);
    return RESULT_OK;
}
