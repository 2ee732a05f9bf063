#include "../support.h"

#include "base/digest.h"

static void hex_both_ways(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 16);
    const uint8_t bytes[] = {0x00, 0x7f, 0xAB, 0xff};
    uint8_t back[4];
    assert_string_equal(hex_text(&a, bytes, 4), "007fabff");
    assert_string_equal(hex_text(&a, bytes, 0), "");
    assert_ok(hex_read("007FABff", "key", back, 4));
    assert_memory_equal(back, bytes, 4);
    static const char *const bad[] = {"",         "007fab",    "007fabf",  "007fabff0",
                                      "007fabfg", "007fabff ", "00 7fabf", "0x7fabff"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        struct result r = hex_read(bad[i], "key", back, 4);
        assert_code(r, FIELD_TYPE);
        assert_string_equal(r.field, "key");
    }
    arena_release(&a);
}

/* Josefsson 2006, RFC 4648, section 10 - from memory, and the same as coreutils base64 gives. */
static void base64_both_ways(void **state)
{
    (void)state;
    static const char *const pairs[][2] = {{"", ""},
                                           {"f", "Zg=="},
                                           {"fo", "Zm8="},
                                           {"foo", "Zm9v"},
                                           {"foob", "Zm9vYg=="},
                                           {"fooba", "Zm9vYmE="},
                                           {"foobar", "Zm9vYmFy"}};
    struct arena a;
    arena_init(&a, 1 << 20);
    uint8_t *bytes;
    size_t len;
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        assert_string_equal(base64_text(&a, pairs[i][0], strlen(pairs[i][0])), pairs[i][1]);
        assert_ok(base64_read(&a, pairs[i][1], "bytes", &bytes, &len));
        assert_int_equal(len, strlen(pairs[i][0]));
        assert_memory_equal(bytes, pairs[i][0], len);
    }
    static const char *const bad[] = {
        "Zg", "Zg=", "Zg==x", "Z", "Zh==", "Zm9v\n", "Zm 9v", "Zm-v", "===="};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        assert_code(base64_read(&a, bad[i], "bytes", &bytes, &len), FIELD_TYPE);
    }
    arena_release(&a);
}

static void hashes_are_compared_whole(void **state)
{
    (void)state;
    struct hash x = digest_sha256("a", 1), y = x;
    assert_true(hash_equal(&x, &y));
    for (size_t i = 0; i < sizeof x.b; i++) {
        y.b[i] ^= 1;
        assert_false(hash_equal(&x, &y));
        y.b[i] ^= 1;
    }
}

static void a_signature_holds_for_its_bytes_only(void **state)
{
    (void)state;
    uint8_t seed[32] = {1}, other_seed[32] = {2}, signature[64];
    struct sign_key key, other;
    sign_key_from_seed(seed, &key);
    sign_key_from_seed(other_seed, &other);
    char text[] = "tree head 42";
    sign_bytes(&key, text, sizeof text, signature);
    assert_true(sign_holds(key.public_key, text, sizeof text, signature));
    assert_false(sign_holds(other.public_key, text, sizeof text, signature));
    assert_false(sign_holds(key.public_key, text, sizeof text - 1, signature));
    text[0] ^= 1;
    assert_false(sign_holds(key.public_key, text, sizeof text, signature));
}

static void a_password_is_known_again(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, 1 << 16);
    const char *first, *second;
    assert_ok(password_hash(&a, "cotyledon 12", &first));
    assert_ok(password_hash(&a, "cotyledon 12", &second));
    assert_string_not_equal(first, second); /* salted */
    assert_memory_equal(first, "$argon2id$", 10);
    assert_true(password_holds(first, "cotyledon 12"));
    assert_true(password_holds(second, "cotyledon 12"));
    assert_false(password_holds(first, "cotyledon 13"));
    assert_false(password_holds(first, ""));
    assert_false(password_holds("", "cotyledon 12"));
    assert_false(password_holds("no hash", "cotyledon 12"));
    arena_release(&a);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(hex_both_ways),
        cmocka_unit_test(base64_both_ways),
        cmocka_unit_test(hashes_are_compared_whole),
        cmocka_unit_test(a_signature_holds_for_its_bytes_only),
        cmocka_unit_test(a_password_is_known_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
