/* Josefsson, Liusvaara 2017, RFC 8032, Edwards-Curve Digital Signature Algorithm, section 7.1,
 * tests 1 and 2
 * - published (seen). */
#include "../support.h"

#include "base/digest.h"

static const struct vector {
    const char *seed, *public_key, *message, *signature;
} vectors[] = {
    {"9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
     "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a", "",
     "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b"
     "46b"
     "d25bf5f0595bbe24655141438e7a100b"},
    {"4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
     "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c", "72",
     "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11"
     "d8c"
     "387b2eaeb4302aeeb00d291612bb0c00"},
};

struct case_bytes {
    uint8_t seed[32], public_key[32], signature[64], message[8];
    size_t message_len;
};

static struct case_bytes bytes_of(const struct vector *v)
{
    struct case_bytes b = {.message_len = strlen(v->message) / 2};
    assert_ok(hex_read(v->seed, "seed", b.seed, 32));
    assert_ok(hex_read(v->public_key, "public", b.public_key, 32));
    assert_ok(hex_read(v->signature, "signature", b.signature, 64));
    assert_ok(hex_read(v->message, "message", b.message, b.message_len));
    return b;
}

static void keys_and_signatures_are_the_published_ones(void **state)
{
    (void)state;
    for (size_t i = 0; i < 2; i++) {
        struct case_bytes b = bytes_of(&vectors[i]);
        struct sign_key key;
        sign_key_from_seed(b.seed, &key);
        assert_memory_equal(key.public_key, b.public_key, 32);
        uint8_t signature[64];
        sign_bytes(&key, b.message, b.message_len, signature);
        assert_memory_equal(signature, b.signature, 64);
        assert_true(sign_holds(b.public_key, b.message, b.message_len, b.signature));
    }
}

static void any_changed_bit_is_refused(void **state)
{
    (void)state;
    struct case_bytes b = bytes_of(&vectors[1]);
    for (int bit = 0; bit < 512; bit++) {
        b.signature[bit / 8] ^= (uint8_t)(1 << bit % 8);
        assert_false(sign_holds(b.public_key, b.message, b.message_len, b.signature));
        b.signature[bit / 8] ^= (uint8_t)(1 << bit % 8);
    }
    for (int bit = 0; bit < 256; bit++) {
        b.public_key[bit / 8] ^= (uint8_t)(1 << bit % 8);
        assert_false(sign_holds(b.public_key, b.message, b.message_len, b.signature));
        b.public_key[bit / 8] ^= (uint8_t)(1 << bit % 8);
    }
    for (int bit = 0; bit < 8; bit++) {
        b.message[0] ^= (uint8_t)(1 << bit);
        assert_false(sign_holds(b.public_key, b.message, b.message_len, b.signature));
        b.message[0] ^= (uint8_t)(1 << bit);
    }
    assert_true(sign_holds(b.public_key, b.message, b.message_len, b.signature));
}

/* Section 5.1.7: S must lie below the order of the group, 2^252 +
 * 27742317777372353535851937790883648493 (section 5.1); S plus that order is the same point and
 * would be a second signature. */
static void a_scalar_beyond_the_order_is_refused(void **state)
{
    (void)state;
    uint8_t order[32];
    assert_ok(hex_read("edd3f55c1a631258d69cf7a2def9de1400000000000000000000000000000010", "order",
                       order, 32));
    for (size_t i = 0; i < 2; i++) {
        struct case_bytes b = bytes_of(&vectors[i]);
        unsigned carry = 0;
        for (size_t at = 0; at < 32; at++) {
            carry += (unsigned)b.signature[32 + at] + order[at];
            b.signature[32 + at] = (uint8_t)carry;
            carry >>= 8;
        }
        assert_int_equal(carry, 0);
        assert_false(sign_holds(b.public_key, b.message, b.message_len, b.signature));
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(keys_and_signatures_are_the_published_ones),
        cmocka_unit_test(any_changed_bit_is_refused),
        cmocka_unit_test(a_scalar_beyond_the_order_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
