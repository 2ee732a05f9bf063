/* Any bytes as a sealed piece: refused, or samples within the limits that seal again to what reads
 * the same. */
#include <string.h>

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

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct series_piece piece = {.bytes = data, .len = size};
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
