/* SHA-256 (nettle), RFC 6962 Merkle trees, Ed25519 and passwords (libsodium). */
#ifndef BASE_DIGEST_H
#define BASE_DIGEST_H

#include "base/result.h"

struct hash {
    uint8_t b[32];
};

struct hash digest_sha256(const void *bytes, size_t len);
bool hash_equal(const struct hash *x, const struct hash *y);
const char *hex_text(struct arena *a, const void *bytes, size_t len);
/* FIELD_TYPE unless exactly len bytes of lower or upper hex. */
MUST_USE struct result hex_read(const char *text, const char *field, void *out, size_t len);
const char *base64_text(struct arena *a, const void *bytes, size_t len);
MUST_USE struct result base64_read(struct arena *a, const char *text, const char *field,
                                   uint8_t **out, size_t *out_len);

/* RFC 6962 2.1: leaf = SHA-256(00 | d), node = SHA-256(01 | left | right). */
struct hash merkle_leaf(const void *bytes, size_t len);
struct hash merkle_node(const struct hash *left, const struct hash *right);

/* The right edge of a growing tree: one peak for each set bit of size, largest first. 64 peaks
 * cover any size. */
struct merkle_edge {
    uint64_t size;
    struct hash peak[64];
};
void merkle_edge_push(struct merkle_edge *e, const struct hash *leaf);
struct hash merkle_edge_root(const struct merkle_edge *e);
struct hash merkle_root(const struct hash *leaves, uint64_t size);
/* Audit path of leaf index in leaves[0..size), at most 64 nodes. */
size_t merkle_inclusion(const struct hash *leaves, uint64_t size, uint64_t index,
                        struct hash out[64]);
bool merkle_inclusion_holds(const struct hash *leaf, uint64_t index, uint64_t size,
                            const struct hash *path, size_t path_len, const struct hash *root);
/* Proof that the tree of old_size is a beginning of the tree of size (RFC 6962 2.1.2). */
size_t merkle_consistency(const struct hash *leaves, uint64_t size, uint64_t old_size,
                          struct hash out[64]);
/* old_size 0 is an error (false), as the published vectors demand. */
bool merkle_consistency_holds(uint64_t old_size, uint64_t size, const struct hash *old_root,
                              const struct hash *root, const struct hash *path, size_t path_len);

struct sign_key {
    uint8_t secret[64];
    uint8_t public_key[32];
};
void sign_key_from_seed(const uint8_t seed[32], struct sign_key *out);
void sign_bytes(const struct sign_key *key, const void *bytes, size_t len,
                uint8_t out_signature[64]);
bool sign_holds(const uint8_t public_key[32], const void *bytes, size_t len,
                const uint8_t signature[64]);

/* Argon2id password strings. MEMORY_SHORT when the 64 MiB it works in cannot be had. */
MUST_USE struct result password_hash(struct arena *a, const char *password, const char **out);
bool password_holds(const char *stored, const char *password);

#endif
