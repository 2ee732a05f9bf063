/* Series of readings (logger channels, pack weights) and the sealed pieces they are kept in.
 *
 * A series is samples in order of time, which never runs back, and of their number n, which rises
 * but may begin anew when the device does. A sample has a value a channel, a whole number of
 * 10^-scale units, or for that channel a missing mark.
 *
 * A piece is samples of one UTC hour in which n only rises, at most SERIES_PLAIN_MAX bytes of them:
 *   0   "SPC" and the version, 1                     24  count, u32
 *   4   channels, u8                                 28  bytes of the packed part before
 * compression, u32 5   scale, u8                                    32  first n, 40 last n, 48
 * first ms, 56 last ms, i64 6   length of the unit, u16                      64  the packed part,
 * compressed (zlib, RFC 1950) 8   unit, UTF-8, zeros to 16 bytes all little-endian. The packed part
 * is numbers as variable-length bytes (seven bits each, low first, the eighth says that more
 * follow), signed ones folded by zig-zag: n of each sample as the difference from the one before
 * (the first from first n), then the times likewise, then the missing marks (bit c: channel c) as
 * the difference from the marks before, then for each channel the values that are there as
 * differences from the one before (the first from 0). A piece's digest is the SHA-256 of all its
 * bytes.
 *
 * Errors: SERIES_BAD (what is wrong with the bytes or samples), SERIES_LARGE, SERIES_MIXED. */
#ifndef LEDGER_SERIES_H
#define LEDGER_SERIES_H

#include "base/digest.h"
#include "base/result.h"

enum {
    SERIES_CHANNELS_MAX = 16,
    SERIES_UNIT_BYTES = 16, /* with the ending zero */
    SERIES_SCALE_MAX = 9,
    SERIES_PLAIN_MAX = 4 << 20,               /* of a piece: 18 + 4 * channels bytes a sample */
    SERIES_PACKED_MAX = 8 << 20,              /* of a piece's packed part */
    SERIES_BYTES_MAX = (8 << 20) + (1 << 16), /* of a whole piece */
    SERIES_RANGE_PLAIN_MAX = 256 << 20,       /* of what series_range gives */
    SERIES_HOUR_MS = 3600000
};

/* Limits of n (0..2^53 - 1) and ms (year 1 to year 9999). */
#define SERIES_N_MAX INT64_C(9007199254740991)
#define SERIES_MS_MIN INT64_C(-62135596800000)
#define SERIES_MS_MAX INT64_C(253402300799999)

struct series {
    int channels; /* 1..16 */
    int scale;    /* 0..9 */
    char unit[SERIES_UNIT_BYTES];
    size_t count;
    const int64_t *n;        /* rising */
    const int64_t *ms;       /* never falling */
    const uint16_t *missing; /* bit c: channel c has no value */
    const int32_t *value;    /* channel c of sample i: value[i * channels + c]; 0 where missing */
};

struct series_header {
    int channels, scale;
    char unit[SERIES_UNIT_BYTES];
    size_t count;
    int64_t first_n, last_n, first_ms, last_ms;
    size_t packed_len;
};

struct series_piece {
    const uint8_t *bytes;
    size_t len;
};

/* Bytes a sample counts for against the limits. */
size_t series_plain_bytes(int channels, size_t count);
/* Samples first .. first + count - 1, sharing the memory of s. */
struct series series_slice(const struct series *s, size_t first, size_t count);

/* 1 sample or more, within a piece's limits. The same samples give the same bytes with the same
 * zlib. */
MUST_USE struct result series_encode(struct arena *a, const struct series *s,
                                     struct series_piece *out);
/* Only the first 64 bytes are looked at. */
MUST_USE struct result series_header_read(const struct series_piece *p, struct series_header *out);
/* Any bytes may be given: all is checked, memory is bounded by the limits above. */
MUST_USE struct result series_decode(struct arena *a, const struct series_piece *p,
                                     struct series *out);

/* How to cut a series into pieces: counts[i] samples each, in order, every piece within one UTC
 * hour and SERIES_PLAIN_MAX, none with a number that begins anew. */
void series_split(struct arena *a, const struct series *s, size_t **out_counts, size_t *out_pieces);
/* The samples with from_ms <= ms < to_ms of several pieces of one series, given in any order.
 * SERIES_MIXED when channels, scale or unit differ or when pieces overlap. Without any sample
 * count is 0 and channels may be 0. */
MUST_USE struct result series_range(struct arena *a, const struct series_piece *pieces,
                                    size_t piece_count, int64_t from_ms, int64_t to_ms,
                                    struct series *out);

#endif
