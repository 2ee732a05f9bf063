/* The tree in memory against the plain functions, which the published vectors hold. */
#include "../support.h"

#include "base/merkle_tree.h"

enum { SIZE = 133 }; /* past two powers of two */

static void leaves_of(struct hash leaves[SIZE])
{
    for (uint64_t i = 0; i < SIZE; i++) {
        leaves[i] = merkle_leaf(&i, sizeof i);
    }
}

static void roots_of_every_size(void **state)
{
    (void)state;
    struct hash leaves[SIZE];
    struct merkle_tree t = {0};
    leaves_of(leaves);
    for (uint64_t i = 0; i < SIZE; i++) {
        merkle_tree_push(&t, &leaves[i]);
        assert_int_equal(merkle_tree_size(&t), i + 1);
    }
    for (uint64_t size = 1; size <= SIZE; size++) {
        struct hash root = merkle_tree_root(&t, size), plain = merkle_root(leaves, size);
        assert_true(hash_equal(&root, &plain));
    }
    merkle_tree_clear(&t);
    assert_int_equal(merkle_tree_size(&t), 0);
}

static void paths_of_every_leaf(void **state)
{
    (void)state;
    struct hash leaves[SIZE], path[64], plain[64];
    struct merkle_tree t = {0};
    leaves_of(leaves);
    for (uint64_t i = 0; i < SIZE; i++) {
        merkle_tree_push(&t, &leaves[i]);
    }
    for (uint64_t size = 1; size <= SIZE; size++) {
        struct hash root = merkle_root(leaves, size);
        for (uint64_t index = 0; index < size; index++) {
            size_t n = merkle_tree_path(&t, size, index, path);
            assert_int_equal(n, merkle_inclusion(leaves, size, index, plain));
            assert_memory_equal(path, plain, n * sizeof *path);
            assert_true(merkle_inclusion_holds(&leaves[index], index, size, path, n, &root));
        }
    }
    merkle_tree_clear(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(roots_of_every_size),
        cmocka_unit_test(paths_of_every_leaf),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
