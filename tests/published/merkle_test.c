/* merkle_test FOLDER: every proof in the vendored folder is one test, then the roots and nodes of
 * the reference tree. All from github.com/transparency-dev/merkle, commit
 * 417fb0c314750d94e53942e9f92e79b6d35915db - published (seen). */
#include "../support.h"

#include <dirent.h>

#include "base/digest.h"
#include "base/file.h"
#include "base/json.h"

enum { PROOFS = 36, PATH_MAX_NODES = 8 };

static json_t *case_read(struct arena *a, const char *path)
{
    char *text;
    size_t len;
    json_t *value;
    assert_ok(file_read(a, path, 1 << 20, &text, &len));
    assert_ok(json_read(text, len, 1 << 20, &value));
    return value;
}

/* The case files also hold hashes that are none, of another length. They reach the checks as what
 * fits into a hash, and must be refused there just the same. */
static struct hash hash_of(struct arena *a, const json_t *base64)
{
    uint8_t *bytes;
    size_t len;
    struct hash h = {{0}};
    assert_true(json_is_string(base64));
    assert_ok(base64_read(a, json_string_value(base64), "hash", &bytes, &len));
    memcpy(h.b, bytes, len < sizeof h.b ? len : sizeof h.b);
    return h;
}

static void proof_is_judged_as_published(void **state)
{
    const char *path = *state;
    struct arena a;
    arena_init(&a, 1 << 24);
    json_t *c = case_read(&a, path), *proof = json_object_get(c, "proof");
    struct hash nodes[PATH_MAX_NODES];
    size_t n = json_array_size(proof);
    assert_true(n <= PATH_MAX_NODES);
    for (size_t i = 0; i < n; i++) {
        nodes[i] = hash_of(&a, json_array_get(proof, i));
    }
    bool holds;
    if (json_object_get(c, "leafIdx") != NULL) {
        struct hash leaf = hash_of(&a, json_object_get(c, "leafHash"));
        struct hash root = hash_of(&a, json_object_get(c, "root"));
        holds = merkle_inclusion_holds(
            &leaf, (uint64_t)json_integer_value(json_object_get(c, "leafIdx")),
            (uint64_t)json_integer_value(json_object_get(c, "treeSize")), nodes, n, &root);
    } else {
        struct hash old_root = hash_of(&a, json_object_get(c, "root1"));
        struct hash root = hash_of(&a, json_object_get(c, "root2"));
        holds = merkle_consistency_holds((uint64_t)json_integer_value(json_object_get(c, "size1")),
                                         (uint64_t)json_integer_value(json_object_get(c, "size2")),
                                         &old_root, &root, nodes, n);
    }
    bool wanted = !json_is_true(json_object_get(c, "wantErr"));
    json_decref(c);
    arena_release(&a);
    assert_int_equal(holds, wanted);
}

static const char *const leaf_inputs[8] = {
    "",
    "00",
    "10",
    "2021",
    "3031",
    "40414243",
    "5051525354555657",
    "606162636465666768696a6b6c6d6e6f",
};
static const char *const roots[9] = {
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
};

static void leaves_make(struct hash leaves[8])
{
    for (int i = 0; i < 8; i++) {
        uint8_t bytes[16];
        size_t len = strlen(leaf_inputs[i]) / 2;
        assert_ok(hex_read(leaf_inputs[i], "leaf", bytes, len));
        leaves[i] = merkle_leaf(bytes, len);
    }
}

static void roots_of_sizes_0_to_8(void **state)
{
    (void)state;
    struct hash leaves[8], wanted;
    leaves_make(leaves);
    struct merkle_edge edge = {0};
    for (uint64_t size = 0; size <= 8; size++) {
        assert_ok(hex_read(roots[size], "root", wanted.b, 32));
        struct hash whole = merkle_root(leaves, size), by_edge = merkle_edge_root(&edge);
        assert_true(hash_equal(&whole, &wanted));
        assert_true(hash_equal(&by_edge, &wanted));
        if (size < 8) {
            merkle_edge_push(&edge, &leaves[size]);
        }
    }
}

/* The node table of that repository; the first four bytes tell the nodes apart. */
static void assert_path(const struct hash *path, size_t n, const char *wanted)
{
    struct arena a;
    arena_init(&a, 1 << 16);
    char got[200] = "";
    for (size_t i = 0; i < n; i++) {
        size_t len = strlen(got);
        snprintf(got + len, sizeof got - len, "%s%s", i == 0 ? "" : " ",
                 hex_text(&a, path[i].b, 4));
    }
    assert_string_equal(got, wanted);
    arena_release(&a);
}

static void paths_in_the_reference_tree(void **state)
{
    (void)state;
    static const struct {
        uint64_t index, size;
        const char *path;
    } inclusions[] = {
        {0, 8, "96a296d2 5f083f0a 6b47aaf2"},
        {5, 8, "bc1a0643 ca854ea1 d37ee418"},
        {2, 3, "fac54203"},
        {1, 5, "6e340b9c 5f083f0a bc1a0643"},
    };
    static const struct {
        uint64_t old_size, size;
        const char *path;
    } consistencies[] = {
        {6, 8, "0ebc5d34 ca854ea1 d37ee418"},
        {2, 5, "5f083f0a bc1a0643"},
        {1, 8, "96a296d2 5f083f0a 6b47aaf2"},
    };
    struct hash leaves[8], path[64];
    leaves_make(leaves);
    for (size_t i = 0; i < sizeof inclusions / sizeof inclusions[0]; i++) {
        size_t n = merkle_inclusion(leaves, inclusions[i].size, inclusions[i].index, path);
        assert_path(path, n, inclusions[i].path);
    }
    for (size_t i = 0; i < sizeof consistencies / sizeof consistencies[0]; i++) {
        size_t n =
            merkle_consistency(leaves, consistencies[i].size, consistencies[i].old_size, path);
        assert_path(path, n, consistencies[i].path);
    }
}

/* That test set also demands that nothing can be proved of an empty old tree. */
static void an_empty_old_tree_proves_nothing(void **state)
{
    (void)state;
    struct hash empty = digest_sha256("", 0), leaves[8];
    leaves_make(leaves);
    struct hash root = merkle_root(leaves, 8);
    assert_false(merkle_consistency_holds(0, 8, &empty, &root, NULL, 0));
    assert_false(merkle_consistency_holds(0, 0, &empty, &empty, NULL, 0));
}

int main(int argc, char **argv)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    static char paths[PROOFS][512];
    struct CMUnitTest tests[PROOFS + 3];
    size_t count = 0;
    DIR *dir = argc == 2 ? opendir(argv[1]) : NULL;
    if (dir == NULL) {
        fprintf(stderr, "merkle_test FOLDER\n");
        return 2;
    }
    for (struct dirent *e; (e = readdir(dir)) != NULL;) {
        size_t len = strlen(e->d_name);
        if (len < 5 || strcmp(e->d_name + len - 5, ".json") != 0 || count == PROOFS) {
            continue;
        }
        snprintf(paths[count], sizeof paths[count], "%s/%s", argv[1], e->d_name);
        tests[count] = (struct CMUnitTest){strrchr(paths[count], '/') + 1,
                                           proof_is_judged_as_published, NULL, NULL, paths[count]};
        count++;
    }
    closedir(dir);
    if (count != PROOFS) {
        fprintf(stderr, "%zu proofs instead of %d in %s\n", count, PROOFS, argv[1]);
        return 2;
    }
    tests[count++] = (struct CMUnitTest)cmocka_unit_test(roots_of_sizes_0_to_8);
    tests[count++] = (struct CMUnitTest)cmocka_unit_test(paths_in_the_reference_tree);
    tests[count++] = (struct CMUnitTest)cmocka_unit_test(an_empty_old_tree_proves_nothing);
    return _cmocka_run_group_tests("merkle", tests, count, NULL, NULL);
}
