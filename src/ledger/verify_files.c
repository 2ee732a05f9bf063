/* Papers, profiles and sealed pieces: is each there, is it what its digest says? */
#include <string.h>

#include "ledger/verify_inner.h"

static struct result check_file(struct verifying *v, struct statement *q)
{
    struct arena *a = &v->scratch;
    size_t sha_len, len;
    const void *sha = store_bytes(q, 0, &sha_len), *bytes = store_bytes(q, 4, &len);
    int64_t size = store_int(q, 3);
    const char *key = arena_printf(a, "sha256=%s", hex_text(a, sha, sha_len));
    if (store_is_null(q, 4)) {
        if (store_int(q, 5) == 0) {
            verify_found(v, "file", key, "no bytes",
                         "its bytes, or an entry that says who dropped it");
        }
        return RESULT_OK;
    }
    struct hash is = digest_sha256(bytes, len);
    if (sha_len != sizeof is.b || memcmp(is.b, sha, sizeof is.b) != 0) {
        verify_found(v, "file", key,
                     arena_printf(a, "bytes of digest %s", hex_text(a, is.b, sizeof is.b)),
                     "bytes of that digest");
    }
    if ((int64_t)len != size) {
        verify_found(v, "file", key, arena_printf(a, "%zu bytes", len),
                     arena_printf(a, "%lld bytes", (long long)size));
    }
    return RESULT_OK;
}

static struct result check_files(struct verifying *v)
{
    struct statement *q = store_prepare(v->store, Q_VERIFY_FILES);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        TRY(check_file(v, q));
        arena_clear(&v->scratch);
        if (++v->out->files % 64 == 0) {
            TRY(verify_step(v, "files", v->out->files, 0));
        }
    }
}

/* Digests that entries name and that nothing stands behind. */
static struct result missing_files(struct verifying *v)
{
    struct statement *q = store_prepare(v->store, Q_VERIFY_FILES_MISSING);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        size_t len;
        const void *sha = store_bytes(q, 1, &len);
        const char *key = arena_printf(&v->scratch, "sha256=%s", hex_text(&v->scratch, sha, len));
        verify_found(
            v, "file", key, "nothing",
            arena_printf(&v->scratch, "what entry %lld names", (long long)store_int(q, 0)));
    }
}

struct result verify_files(struct verifying *v)
{
    TRY(verify_step(v, "files", 0, 0));
    TRY(check_files(v));
    return missing_files(v);
}
