#include "base/digest.h"

#include <nettle/sha2.h>
#include <pthread.h>
#include <sodium.h>
#include <stdio.h>
#include <string.h>

#include "base/check.h"

_Static_assert(sizeof(struct hash) == SHA256_DIGEST_SIZE, "SHA-256 has 32 bytes");

static void sodium_start(void)
{
    CHECK(sodium_init() >= 0);
}

static void sodium_ready(void)
{
    static pthread_once_t once = PTHREAD_ONCE_INIT;
    CHECK(pthread_once(&once, sodium_start) == 0);
}

struct hash digest_sha256(const void *bytes, size_t len)
{
    struct sha256_ctx state;
    struct hash out;
    sha256_init(&state);
    sha256_update(&state, len, bytes);
    sha256_digest(&state, sizeof out.b, out.b);
    return out;
}

bool hash_equal(const struct hash *x, const struct hash *y)
{
    return memcmp(x->b, y->b, sizeof x->b) == 0;
}

const char *hex_text(struct arena *a, const void *bytes, size_t len)
{
    char *out = arena_alloc(a, len * 2 + 1);
    return sodium_bin2hex(out, len * 2 + 1, bytes, len);
}

struct result hex_read(const char *text, const char *field, void *out, size_t len)
{
    size_t got = 0;
    if (strlen(text) != len * 2 || sodium_hex2bin(out, len, text, len * 2, NULL, &got, NULL) != 0 ||
        got != len) {
        char wanted[40];
        snprintf(wanted, sizeof wanted, "%zu hexadecimal digits", len * 2);
        return FAIL2(FIELD_TYPE, field, wanted, text);
    }
    return RESULT_OK;
}

const char *base64_text(struct arena *a, const void *bytes, size_t len)
{
    size_t size = sodium_base64_encoded_len(len, sodium_base64_VARIANT_ORIGINAL);
    return sodium_bin2base64(arena_alloc(a, size), size, bytes, len,
                             sodium_base64_VARIANT_ORIGINAL);
}

struct result base64_read(struct arena *a, const char *text, const char *field, uint8_t **out,
                          size_t *out_len)
{
    size_t len = strlen(text);
    size_t size = len / 4 * 3 + 3;
    uint8_t *bytes = arena_alloc(a, size);
    size_t got = 0;
    if (sodium_base642bin(bytes, size, text, len, NULL, &got, NULL,
                          sodium_base64_VARIANT_ORIGINAL) != 0) {
        return FAIL2(FIELD_TYPE, field, "base64 text", "other text");
    }
    *out = bytes;
    *out_len = got;
    return RESULT_OK;
}

_Static_assert(sizeof((struct sign_key){0}.secret) == crypto_sign_SECRETKEYBYTES,
               "Ed25519 secret key");
_Static_assert(sizeof((struct sign_key){0}.public_key) == crypto_sign_PUBLICKEYBYTES,
               "Ed25519 public key");

void sign_key_from_seed(const uint8_t seed[32], struct sign_key *out)
{
    sodium_ready();
    CHECK(crypto_sign_seed_keypair(out->public_key, out->secret, seed) == 0);
}

void sign_bytes(const struct sign_key *key, const void *bytes, size_t len,
                uint8_t out_signature[64])
{
    sodium_ready();
    CHECK(crypto_sign_detached(out_signature, NULL, bytes, len, key->secret) == 0);
}

bool sign_holds(const uint8_t public_key[32], const void *bytes, size_t len,
                const uint8_t signature[64])
{
    sodium_ready();
    return crypto_sign_verify_detached(signature, bytes, len, public_key) == 0;
}

struct result password_hash(struct arena *a, const char *password, const char **out)
{
    sodium_ready();
    char text[crypto_pwhash_STRBYTES];
    if (crypto_pwhash_str(text, password, strlen(password), crypto_pwhash_OPSLIMIT_INTERACTIVE,
                          crypto_pwhash_MEMLIMIT_INTERACTIVE) != 0) {
        return FAIL0(MEMORY_SHORT, "");
    }
    *out = arena_copy(a, text);
    return RESULT_OK;
}

bool password_holds(const char *stored, const char *password)
{
    sodium_ready();
    return crypto_pwhash_str_verify(stored, password, strlen(password)) == 0;
}
