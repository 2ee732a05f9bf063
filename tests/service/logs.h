/* What a logger of the tests' house measured. */
#ifndef TESTS_SERVICE_LOGS_H
#define TESTS_SERVICE_LOGS_H

#include "fixture.h"

#include "base/digest.h"
#include "ledger/series.h"

enum { LOGS_A_HOUR = 6 };

/* An hour of a series, a reading each ten minutes, all alike in each channel. */
static inline struct series_piece logs_piece(struct house *h, int64_t from_ms, int channels,
                                             const int32_t *mc)
{
    int64_t n[LOGS_A_HOUR], ms[LOGS_A_HOUR];
    uint16_t missing[LOGS_A_HOUR] = {0};
    int32_t *value = ARENA_ARRAY(&h->arena, int32_t, (size_t)(LOGS_A_HOUR * channels));
    for (int i = 0; i < LOGS_A_HOUR; i++) {
        n[i] = from_ms / 600000 + i;
        ms[i] = from_ms + i * 600000;
        for (int c = 0; c < channels; c++) {
            value[i * channels + c] = mc[c];
        }
    }
    struct series s = {.channels = channels,
                       .scale = 3,
                       .unit = "Cel",
                       .count = LOGS_A_HOUR,
                       .n = n,
                       .ms = ms,
                       .missing = missing,
                       .value = value};
    struct series_piece piece;
    assert_ok(series_encode(&h->arena, &s, &piece));
    return piece;
}

/* -> its entry */
static inline int64_t logs_seal(struct house *h, const char *series, int64_t from_ms, int32_t mc)
{
    struct series_piece piece = logs_piece(h, from_ms, 1, &mc);
    return house_take(h, "{'kind':'seal','series':'%s','bytes_b64':'%s'}", series,
                      base64_text(&h->arena, piece.bytes, piece.len));
}

/* In place of one that was all was_mc. -> its entry */
static inline int64_t logs_replace(struct house *h, const char *series, int64_t from_ms,
                                   int32_t was_mc, int32_t mc)
{
    struct series_piece was = logs_piece(h, from_ms, 1, &was_mc),
                        is = logs_piece(h, from_ms, 1, &mc);
    struct hash sha = digest_sha256(was.bytes, was.len);
    return house_take(h, "{'kind':'seal','series':'%s','bytes_b64':'%s','replaces':'%s'}", series,
                      base64_text(&h->arena, is.bytes, is.len),
                      hex_text(&h->arena, sha.b, sizeof sha.b));
}

#endif
