/* A whole RFC 6962 tree in memory: every complete node, so that the root and an audit path of any
 * size up to its own are a few look-ups instead of hashing all leaves again. 64 bytes a leaf. */
#ifndef BASE_MERKLE_TREE_H
#define BASE_MERKLE_TREE_H

#include "base/digest.h"

enum { MERKLE_LEVELS = 48 };

struct merkle_level {
    struct hash *node; /* node[i] covers the leaves i << level .. (i + 1) << level */
    uint64_t count, room;
};

/* All zero: an empty tree. */
struct merkle_tree {
    struct merkle_level level[MERKLE_LEVELS];
};

void merkle_tree_push(struct merkle_tree *t, const struct hash *leaf);
void merkle_tree_clear(struct merkle_tree *t);
uint64_t merkle_tree_size(const struct merkle_tree *t);
/* 1 <= size <= the tree's. */
struct hash merkle_tree_root(const struct merkle_tree *t, uint64_t size);
/* The audit path of a leaf in the tree of that size: as merkle_inclusion. index < size. */
size_t merkle_tree_path(const struct merkle_tree *t, uint64_t size, uint64_t index,
                        struct hash out[64]);

#endif
