/* Any bytes as a sealed piece: refused, or samples within the limits that seal again to what reads
 * the same. Input that begins with RAW is a header and a packed part not yet compressed, so that
 * what lies behind the checksum is reached too. */
#include <string.h>
#include <zlib.h>

#include "base/check.h"
#include "ledger/series.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_same(const struct series *x, const struct series *y)
{
    CHECK(x->channels == y->channels && x->scale == y->scale && x->count == y->count);
    CHECK(strcmp(x->unit, y->unit) == 0);
    CHECK(memcmp(x->n, y->n, x->count * sizeof *x->n) == 0);
    CHECK(memcmp(x->ms, y->ms, x->count * sizeof *x->ms) == 0);
    CHECK(memcmp(x->missing, y->missing, x->count * sizeof *x->missing) == 0);
    CHECK(memcmp(x->value, y->value, x->count * (size_t)x->channels * sizeof *x->value) == 0);
}

static struct series_piece piece_from(struct arena *a, const uint8_t *data, size_t size)
{
    if (size < 64 || memcmp(data, "RAW", 3) != 0) {
        return (struct series_piece){.bytes = data, .len = size};
    }
    uLongf len = compressBound(size - 64);
    uint8_t *bytes = arena_alloc(a, 64 + len);
    memcpy(bytes, data, 64);
    memcpy(bytes, "SPC", 3);
    for (int i = 0; i < 4; i++) {
        bytes[28 + i] = (uint8_t)((size - 64) >> (8 * i));
    }
    CHECK(compress2(bytes + 64, &len, data + 64, size - 64, 1) == Z_OK);
    return (struct series_piece){.bytes = bytes, .len = 64 + len};
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct series_piece piece = piece_from(&a, data, size);
    struct series s;
    if (series_decode(&a, &piece, &s).code == CODE_OK) {
        CHECK(s.count > 0 && series_plain_bytes(s.channels, s.count) <= SERIES_PLAIN_MAX);
        struct series_piece again;
        struct series back;
        CHECK(series_encode(&a, &s, &again).code == CODE_OK);
        CHECK(series_decode(&a, &again, &back).code == CODE_OK);
        check_same(&s, &back);
    }
    arena_release(&a);
    return 0;
}
