/* Laurie, Langley, Kasper 2013, RFC 6962, section 2.1: trees and proofs. Laurie, Messeri, Stradling
 * 2021, RFC 9162, sections 2.1.3.2 and 2.1.4.2: how a proof is checked. Held by the published
 * vectors under tests/published. */
#include <nettle/sha2.h>
#include <string.h>

#include "base/check.h"
#include "base/digest.h"

static struct hash prefixed(uint8_t prefix, const void *x, size_t x_len, const void *y,
                            size_t y_len)
{
    struct sha256_ctx state;
    struct hash out;
    sha256_init(&state);
    sha256_update(&state, 1, &prefix);
    sha256_update(&state, x_len, x);
    sha256_update(&state, y_len, y);
    sha256_digest(&state, sizeof out.b, out.b);
    return out;
}

struct hash merkle_leaf(const void *bytes, size_t len)
{
    return prefixed(0x00, bytes, len, "", 0);
}

struct hash merkle_node(const struct hash *left, const struct hash *right)
{
    return prefixed(0x01, left->b, sizeof left->b, right->b, sizeof right->b);
}

void merkle_edge_push(struct merkle_edge *e, const struct hash *leaf)
{
    int peaks = __builtin_popcountll(e->size);
    struct hash h = *leaf;
    for (uint64_t bits = e->size; (bits & 1) != 0; bits >>= 1) {
        h = merkle_node(&e->peak[--peaks], &h);
    }
    e->peak[peaks] = h;
    e->size++;
}

struct hash merkle_edge_root(const struct merkle_edge *e)
{
    int peaks = __builtin_popcountll(e->size);
    if (peaks == 0) {
        return digest_sha256("", 0);
    }
    struct hash root = e->peak[peaks - 1];
    for (int i = peaks - 2; i >= 0; i--) {
        root = merkle_node(&e->peak[i], &root);
    }
    return root;
}

struct hash merkle_root(const struct hash *leaves, uint64_t size)
{
    struct merkle_edge edge = {0};
    for (uint64_t i = 0; i < size; i++) {
        merkle_edge_push(&edge, &leaves[i]);
    }
    return merkle_edge_root(&edge);
}

/* The largest power of two below size; size > 1. */
static uint64_t split(uint64_t size)
{
    return UINT64_C(1) << (63 - __builtin_clzll(size - 1));
}

static void turn_round(struct hash *path, size_t len)
{
    for (size_t i = 0; i < len / 2; i++) {
        struct hash h = path[i];
        path[i] = path[len - 1 - i];
        path[len - 1 - i] = h;
    }
}

size_t merkle_inclusion(const struct hash *leaves, uint64_t size, uint64_t index,
                        struct hash out[64])
{
    CHECK(index < size);
    size_t n = 0;
    while (size > 1) { /* from the root down */
        uint64_t left = split(size);
        if (index < left) {
            out[n++] = merkle_root(leaves + left, size - left);
            size = left;
        } else {
            out[n++] = merkle_root(leaves, left);
            leaves += left;
            index -= left;
            size -= left;
        }
    }
    turn_round(out, n);
    return n;
}

bool merkle_inclusion_holds(const struct hash *leaf, uint64_t index, uint64_t size,
                            const struct hash *path, size_t path_len, const struct hash *root)
{
    if (index >= size) {
        return false;
    }
    uint64_t at = index, last = size - 1;
    struct hash h = *leaf;
    for (size_t i = 0; i < path_len; i++) {
        if (last == 0) {
            return false;
        }
        if ((at & 1) != 0 || at == last) {
            h = merkle_node(&path[i], &h);
            while ((at & 1) == 0 && at != 0) {
                at >>= 1;
                last >>= 1;
            }
        } else {
            h = merkle_node(&h, &path[i]);
        }
        at >>= 1;
        last >>= 1;
    }
    return last == 0 && hash_equal(&h, root);
}

size_t merkle_consistency(const struct hash *leaves, uint64_t size, uint64_t old_size,
                          struct hash out[64])
{
    CHECK(old_size <= size);
    size_t n = 0;
    bool whole = true; /* the old tree is still the whole left side, whose root the reader has */
    while (old_size > 0 && old_size < size) {
        uint64_t left = split(size);
        if (old_size <= left) {
            out[n++] = merkle_root(leaves + left, size - left);
            size = left;
        } else {
            out[n++] = merkle_root(leaves, left);
            leaves += left;
            old_size -= left;
            size -= left;
            whole = false;
        }
    }
    if (!whole) {
        out[n++] = merkle_root(leaves, size);
    }
    turn_round(out, n);
    return n;
}

bool merkle_consistency_holds(uint64_t old_size, uint64_t size, const struct hash *old_root,
                              const struct hash *root, const struct hash *path, size_t path_len)
{
    if (old_size == 0 || old_size > size) {
        return false;
    }
    if (old_size == size) {
        return path_len == 0 && hash_equal(old_root, root);
    }
    bool power = (old_size & (old_size - 1)) == 0; /* then the old root itself is the first node */
    if (path_len == 0) {
        return false;
    }
    uint64_t at = old_size - 1, last = size - 1;
    while ((at & 1) != 0) {
        at >>= 1;
        last >>= 1;
    }
    struct hash old_h = power ? *old_root : path[0];
    struct hash new_h = old_h;
    for (size_t i = power ? 0 : 1; i < path_len; i++) {
        if (last == 0) {
            return false;
        }
        if ((at & 1) != 0 || at == last) {
            old_h = merkle_node(&path[i], &old_h);
            new_h = merkle_node(&path[i], &new_h);
            while ((at & 1) == 0 && at != 0) {
                at >>= 1;
                last >>= 1;
            }
        } else {
            new_h = merkle_node(&new_h, &path[i]);
        }
        at >>= 1;
        last >>= 1;
    }
    return last == 0 && hash_equal(&old_h, old_root) && hash_equal(&new_h, root);
}
