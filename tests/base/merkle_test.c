#include "../support.h"

#include "base/digest.h"

enum { LEAVES = 70 };

static struct hash leaves[LEAVES];

static int make_leaves(void **state)
{
    (void)state;
    for (int i = 0; i < LEAVES; i++) {
        leaves[i] = merkle_leaf(&i, sizeof i);
    }
    return 0;
}

/* The definition, word by word: MTH of Laurie, Langley, Kasper 2013, RFC 6962, section 2.1. */
static struct hash defined_root(const struct hash *from, uint64_t size)
{
    if (size == 0) {
        return digest_sha256("", 0);
    }
    if (size == 1) {
        return from[0];
    }
    uint64_t left = 1;
    while (left * 2 < size) {
        left *= 2;
    }
    struct hash l = defined_root(from, left), r = defined_root(from + left, size - left);
    return merkle_node(&l, &r);
}

static void a_growing_edge_has_the_defined_root(void **state)
{
    (void)state;
    struct merkle_edge edge = {0};
    for (uint64_t size = 0; size <= LEAVES; size++) {
        struct hash wanted = defined_root(leaves, size);
        struct hash by_edge = merkle_edge_root(&edge), whole = merkle_root(leaves, size);
        assert_true(hash_equal(&by_edge, &wanted));
        assert_true(hash_equal(&whole, &wanted));
        assert_int_equal(edge.size, size);
        if (size < LEAVES) {
            merkle_edge_push(&edge, &leaves[size]);
        }
    }
}

static void a_leaf_is_no_node(void **state)
{
    (void)state;
    uint8_t both[64];
    memcpy(both, leaves[0].b, 32);
    memcpy(both + 32, leaves[1].b, 32);
    struct hash as_leaf = merkle_leaf(both, 64), as_node = merkle_node(&leaves[0], &leaves[1]);
    assert_false(hash_equal(&as_leaf, &as_node));
}

static void every_leaf_is_proved(void **state)
{
    (void)state;
    struct hash path[64];
    for (uint64_t size = 1; size <= LEAVES; size++) {
        struct hash root = merkle_root(leaves, size);
        for (uint64_t i = 0; i < size; i++) {
            size_t n = merkle_inclusion(leaves, size, i, path);
            assert_true(merkle_inclusion_holds(&leaves[i], i, size, path, n, &root));
            /* Nothing of it may be wrong. */
            assert_false(merkle_inclusion_holds(&leaves[i], i, size, path, n, &leaves[i]) &&
                         size > 1);
            assert_false(
                merkle_inclusion_holds(&leaves[(i + 1) % LEAVES], i, size, path, n, &root));
            assert_false(merkle_inclusion_holds(&leaves[i], size, size, path, n, &root));
            if (n > 0) {
                assert_false(merkle_inclusion_holds(&leaves[i], i, size, path, n - 1, &root));
                assert_false(merkle_inclusion_holds(&leaves[i], i ^ 1, size, path, n, &root));
                path[n / 2].b[31] ^= 0x80;
                assert_false(merkle_inclusion_holds(&leaves[i], i, size, path, n, &root));
            }
            path[n] = root;
            assert_false(merkle_inclusion_holds(&leaves[i], i, size, path, n + 1, &root));
        }
    }
}

static void every_beginning_is_proved(void **state)
{
    (void)state;
    struct hash path[64];
    for (uint64_t size = 1; size <= LEAVES; size++) {
        struct hash root = merkle_root(leaves, size);
        for (uint64_t old = 1; old <= size; old++) {
            struct hash old_root = merkle_root(leaves, old);
            size_t n = merkle_consistency(leaves, size, old, path);
            assert_true(merkle_consistency_holds(old, size, &old_root, &root, path, n));
            assert_false(merkle_consistency_holds(0, size, &old_root, &root, path, n));
            assert_false(merkle_consistency_holds(size + 1, size, &old_root, &root, path, n));
            if (old < size) {
                assert_false(merkle_consistency_holds(old, size, &root, &root, path, n));
                assert_false(merkle_consistency_holds(old, size, &old_root, &old_root, path, n));
                assert_false(merkle_consistency_holds(old, size, &old_root, &root, path, n - 1));
                path[n - 1].b[0] ^= 1;
                assert_false(merkle_consistency_holds(old, size, &old_root, &root, path, n));
            }
            path[n] = root;
            assert_false(merkle_consistency_holds(old, size, &old_root, &root, path, n + 1));
        }
    }
}

/* One entry changed under an old signed head: no proof can join the two. */
static void a_changed_past_shows(void **state)
{
    (void)state;
    struct hash old_root = merkle_root(leaves, 13), path[64];
    struct hash kept = leaves[4];
    leaves[4].b[7] ^= 1;
    struct hash root = merkle_root(leaves, 40);
    size_t n = merkle_consistency(leaves, 40, 13, path);
    assert_false(merkle_consistency_holds(13, 40, &old_root, &root, path, n));
    leaves[4] = kept;
}

static void index_past_the_end(void *argument)
{
    merkle_inclusion(leaves, 5, 5, argument);
}

static void older_than_the_tree(void *argument)
{
    merkle_consistency(leaves, 5, 6, argument);
}

static void misuse_stops_the_program(void **state)
{
    (void)state;
    struct hash path[64];
    assert_aborts(index_past_the_end, path);
    assert_aborts(older_than_the_tree, path);
    assert_int_equal(merkle_consistency(leaves, 5, 0, path), 0);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_growing_edge_has_the_defined_root),
        cmocka_unit_test(a_leaf_is_no_node),
        cmocka_unit_test(every_leaf_is_proved),
        cmocka_unit_test(every_beginning_is_proved),
        cmocka_unit_test(a_changed_past_shows),
        cmocka_unit_test(misuse_stops_the_program),
    };
    return cmocka_run_group_tests(tests, make_leaves, NULL);
}
