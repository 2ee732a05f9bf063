#include "base/merkle_tree.h"

#include <stdlib.h>

#include "base/check.h"

static void level_add(struct merkle_level *l, const struct hash *node)
{
    if (l->count == l->room) {
        l->room = l->room > 0 ? 2 * l->room : 64;
        l->node = realloc(l->node, l->room * sizeof *l->node);
        CHECK(l->node != NULL);
    }
    l->node[l->count++] = *node;
}

void merkle_tree_push(struct merkle_tree *t, const struct hash *leaf)
{
    level_add(&t->level[0], leaf);
    for (int k = 0; k + 1 < MERKLE_LEVELS && t->level[k].count % 2 == 0; k++) {
        const struct merkle_level *l = &t->level[k];
        struct hash parent = merkle_node(&l->node[l->count - 2], &l->node[l->count - 1]);
        level_add(&t->level[k + 1], &parent);
    }
}

void merkle_tree_clear(struct merkle_tree *t)
{
    for (int k = 0; k < MERKLE_LEVELS; k++) {
        free(t->level[k].node);
    }
    *t = (struct merkle_tree){0};
}

uint64_t merkle_tree_size(const struct merkle_tree *t)
{
    return t->level[0].count;
}

/* Of the leaves first .. first + size. A power of two of them at a multiple of itself is one node;
 * what the recursion asks for is such a one, or lies at the tree's right edge. */
static struct hash range_root(const struct merkle_tree *t, uint64_t first, uint64_t size)
{
    int k = 63 - __builtin_clzll(size);
    if (size == UINT64_C(1) << k && first % size == 0) {
        CHECK(k < MERKLE_LEVELS && first >> k < t->level[k].count);
        return t->level[k].node[first >> k];
    }
    uint64_t left = UINT64_C(1) << (63 - __builtin_clzll(size - 1));
    struct hash l = range_root(t, first, left), r = range_root(t, first + left, size - left);
    return merkle_node(&l, &r);
}

struct hash merkle_tree_root(const struct merkle_tree *t, uint64_t size)
{
    CHECK(size > 0 && size <= merkle_tree_size(t));
    return range_root(t, 0, size);
}

size_t merkle_tree_path(const struct merkle_tree *t, uint64_t size, uint64_t index,
                        struct hash out[64])
{
    CHECK(index < size && size <= merkle_tree_size(t));
    uint64_t first = 0;
    size_t n = 0;
    while (size > 1) { /* from the root down */
        uint64_t left = UINT64_C(1) << (63 - __builtin_clzll(size - 1));
        if (index - first < left) {
            out[n++] = range_root(t, first + left, size - left);
            size = left;
        } else {
            out[n++] = range_root(t, first, left);
            first += left;
            size -= left;
        }
    }
    for (size_t i = 0; i < n / 2; i++) { /* leaf first */
        struct hash h = out[i];
        out[i] = out[n - 1 - i];
        out[n - 1 - i] = h;
    }
    return n;
}
