#include "ledger/series.h"

#include <string.h>
#include <zlib.h>

#include "base/check.h"

enum { HEADER_BYTES = 64, VERSION = 1 };

size_t series_plain_bytes(int channels, size_t count)
{
    return count * (18 + 4 * (size_t)channels);
}

struct series series_slice(const struct series *s, size_t first, size_t count)
{
    CHECK(first <= s->count && count <= s->count - first);
    struct series part = *s;
    part.count = count;
    part.n = s->n + first;
    part.ms = s->ms + first;
    part.missing = s->missing + first;
    part.value = s->value + first * (size_t)s->channels;
    return part;
}

static struct result bad(const char *what)
{
    return FAIL1(SERIES_BAD, "piece", what);
}

/* What holds for the samples of every piece, whoever made them. */
static struct result check_shape(int channels, int scale, size_t count)
{
    if (channels < 1 || channels > SERIES_CHANNELS_MAX) {
        return bad("it must have 1 to 16 channels");
    }
    if (scale < 0 || scale > SERIES_SCALE_MAX) {
        return bad("its scale must be 0 to 9");
    }
    if (count < 1) {
        return bad("it has no samples");
    }
    return count > SERIES_PLAIN_MAX || series_plain_bytes(channels, count) > SERIES_PLAIN_MAX
               ? bad("it has more samples than a piece may")
               : RESULT_OK;
}

static bool in_limits(int64_t n, int64_t ms)
{
    return n >= 0 && n <= SERIES_N_MAX && ms >= SERIES_MS_MIN && ms <= SERIES_MS_MAX;
}

static int64_t hour_of(int64_t ms)
{
    return (ms - SERIES_MS_MIN) / SERIES_HOUR_MS; /* year 1 begins on a full hour */
}

static struct result check_samples(const struct series *s)
{
    for (size_t i = 0; i < s->count; i++) {
        if (!in_limits(s->n[i], s->ms[i])) {
            return bad("a number or time is out of range");
        }
        if (i > 0 && s->n[i] <= s->n[i - 1]) {
            return bad("its numbers do not rise");
        }
        if (i > 0 && s->ms[i] < s->ms[i - 1]) {
            return bad("its clock runs back");
        }
        if (s->missing[i] >> s->channels != 0) {
            return bad("a missing mark names a channel that is not there");
        }
    }
    return hour_of(s->ms[0]) == hour_of(s->ms[s->count - 1]) ? RESULT_OK
                                                             : bad("it spans more than one hour");
}

/* Little-endian numbers of the header. */
static void put_number(uint8_t *at, uint64_t value, size_t bytes)
{
    for (size_t i = 0; i < bytes; i++) {
        at[i] = (uint8_t)(value >> (8 * i));
    }
}

static uint64_t get_number(const uint8_t *at, size_t bytes)
{
    uint64_t value = 0;
    for (size_t i = 0; i < bytes; i++) {
        value |= (uint64_t)at[i] << (8 * i);
    }
    return value;
}

/* Differences of numbers within the limits never overflow; signs are folded into the lowest bit. */
static uint8_t *put_difference(uint8_t *at, int64_t from, int64_t to)
{
    int64_t step = to - from;
    uint64_t left = ((uint64_t)step << 1) ^ (step < 0 ? UINT64_MAX : 0);
    while (left >= 0x80) {
        *at++ = (uint8_t)(left | 0x80);
        left >>= 7;
    }
    *at++ = (uint8_t)left;
    return at;
}

static uint8_t *pack(const struct series *s, uint8_t *at)
{
    size_t channels = (size_t)s->channels;
    for (size_t i = 0; i < s->count; i++) {
        at = put_difference(at, s->n[i > 0 ? i - 1 : 0], s->n[i]);
    }
    for (size_t i = 0; i < s->count; i++) {
        at = put_difference(at, s->ms[i > 0 ? i - 1 : 0], s->ms[i]);
    }
    for (size_t i = 0; i < s->count; i++) {
        at = put_difference(at, i > 0 ? s->missing[i - 1] : 0, s->missing[i]);
    }
    for (size_t c = 0; c < channels; c++) {
        int64_t before = 0;
        for (size_t i = 0; i < s->count; i++) {
            if ((s->missing[i] >> c & 1) == 0) {
                at = put_difference(at, before, s->value[i * channels + c]);
                before = s->value[i * channels + c];
            }
        }
    }
    return at;
}

static void put_header(const struct series *s, size_t packed_len, uint8_t *out)
{
    size_t last = s->count - 1;
    memset(out, 0, HEADER_BYTES);
    memcpy(out, "SPC", 3);
    out[3] = VERSION;
    out[4] = (uint8_t)s->channels;
    out[5] = (uint8_t)s->scale;
    put_number(out + 6, strlen(s->unit), 2);
    memcpy(out + 8, s->unit, strlen(s->unit));
    put_number(out + 24, s->count, 4);
    put_number(out + 28, packed_len, 4);
    put_number(out + 32, (uint64_t)s->n[0], 8);
    put_number(out + 40, (uint64_t)s->n[last], 8);
    put_number(out + 48, (uint64_t)s->ms[0], 8);
    put_number(out + 56, (uint64_t)s->ms[last], 8);
}

struct result series_encode(struct arena *a, const struct series *s, struct series_piece *out)
{
    TRY(check_shape(s->channels, s->scale, s->count));
    TRY(check_samples(s));
    CHECK(memchr(s->unit, '\0', sizeof s->unit) != NULL);
    /* n and time take at most 8 bytes each, the marks 3, a value 5 */
    size_t most = s->count * (19 + 5 * (size_t)s->channels);
    CHECK(most <= SERIES_PACKED_MAX);
    uint8_t *packed = arena_alloc(a, most);
    size_t packed_len = (size_t)(pack(s, packed) - packed);
    CHECK(packed_len <= most);
    uLongf len = compressBound(packed_len);
    uint8_t *bytes = arena_alloc(a, HEADER_BYTES + len);
    put_header(s, packed_len, bytes);
    int status = compress2(bytes + HEADER_BYTES, &len, packed, packed_len, Z_BEST_COMPRESSION);
    CHECK(status == Z_OK); /* only memory can fail, and memory that fails ends the process */
    *out = (struct series_piece){.bytes = bytes, .len = HEADER_BYTES + len};
    return RESULT_OK;
}

struct result series_header_read(const struct series_piece *p, struct series_header *out)
{
    const uint8_t *b = p->bytes;
    if (p->len < HEADER_BYTES || memcmp(b, "SPC", 3) != 0) {
        return bad("it does not begin like one");
    }
    if (b[3] != VERSION) {
        return bad("its version is not known here");
    }
    if (p->len > SERIES_BYTES_MAX) {
        return bad("it has more bytes than a piece may");
    }
    size_t unit_len = get_number(b + 6, 2);
    *out = (struct series_header){
        .channels = b[4],
        .scale = b[5],
        .count = get_number(b + 24, 4),
        .packed_len = get_number(b + 28, 4),
        .first_n = (int64_t)get_number(b + 32, 8),
        .last_n = (int64_t)get_number(b + 40, 8),
        .first_ms = (int64_t)get_number(b + 48, 8),
        .last_ms = (int64_t)get_number(b + 56, 8),
    };
    TRY(check_shape(out->channels, out->scale, out->count));
    memcpy(out->unit, b + 8, SERIES_UNIT_BYTES);
    if (unit_len >= SERIES_UNIT_BYTES || memchr(b + 8, 0, SERIES_UNIT_BYTES) != b + 8 + unit_len) {
        return bad("its unit is not readable");
    }
    if (out->packed_len > SERIES_PACKED_MAX) {
        return bad("its packed part is larger than a piece's may be");
    }
    if (!in_limits(out->first_n, out->first_ms) || !in_limits(out->last_n, out->last_ms) ||
        out->last_n - out->first_n < (int64_t)out->count - 1 || out->last_ms < out->first_ms) {
        return bad("its first and last numbers and times do not fit");
    }
    return RESULT_OK;
}

/* Reading what pack wrote, from bytes that may be anything. */
struct packed {
    const uint8_t *at;
    const uint8_t *end;
};

/* *value += the next difference; false when the bytes end, are longer than needed, or the sum
 * leaves low..high. */
static bool get_next(struct packed *p, int64_t low, int64_t high, int64_t *value)
{
    uint64_t folded = 0;
    unsigned shift = 0;
    uint8_t byte;
    do {
        if (p->at == p->end) {
            return false;
        }
        byte = *p->at++;
        if (shift == 63 && byte > 1) { /* more than 64 bits */
            return false;
        }
        folded |= (uint64_t)(byte & 0x7F) << shift;
        shift += 7;
    } while (byte >= 0x80);
    bool padded = shift > 7 && byte == 0;
    int64_t step = (int64_t)(folded >> 1) ^ -(int64_t)(folded & 1);
    return !padded && !__builtin_add_overflow(*value, step, value) && *value >= low &&
           *value <= high;
}

/* out has room for what the header says. */
static bool unpack(struct packed *p, const struct series_header *h, int64_t *n, int64_t *ms,
                   uint16_t *missing, int32_t *value)
{
    size_t channels = (size_t)h->channels;
    int64_t marks_max = (1 << h->channels) - 1;
    int64_t last = h->first_n;
    for (size_t i = 0; i < h->count; i++) {
        if (!get_next(p, h->first_n, h->last_n, &last)) {
            return false;
        }
        n[i] = last;
    }
    last = h->first_ms;
    for (size_t i = 0; i < h->count; i++) {
        if (!get_next(p, h->first_ms, h->last_ms, &last)) {
            return false;
        }
        ms[i] = last;
    }
    last = 0;
    for (size_t i = 0; i < h->count; i++) {
        if (!get_next(p, 0, marks_max, &last)) {
            return false;
        }
        missing[i] = (uint16_t)last;
    }
    for (size_t c = 0; c < channels; c++) {
        last = 0;
        for (size_t i = 0; i < h->count; i++) {
            if ((missing[i] >> c & 1) == 0) {
                if (!get_next(p, INT32_MIN, INT32_MAX, &last)) {
                    return false;
                }
                value[i * channels + c] = (int32_t)last;
            }
        }
    }
    return p->at == p->end;
}

struct result series_decode(struct arena *a, const struct series_piece *p, struct series *out)
{
    struct series_header h;
    TRY(series_header_read(p, &h));
    uint8_t *packed = arena_alloc(a, h.packed_len);
    uLongf packed_len = h.packed_len;
    uLong taken = p->len - HEADER_BYTES;
    int status = uncompress2(packed, &packed_len, p->bytes + HEADER_BYTES, &taken);
    if (status != Z_OK || packed_len != h.packed_len || taken != p->len - HEADER_BYTES) {
        return bad("its compressed part is damaged");
    }
    int64_t *n = ARENA_ARRAY(a, int64_t, h.count);
    int64_t *ms = ARENA_ARRAY(a, int64_t, h.count);
    uint16_t *missing = ARENA_ARRAY(a, uint16_t, h.count);
    int32_t *value = ARENA_ARRAY(a, int32_t, h.count * (size_t)h.channels);
    struct packed reading = {.at = packed, .end = packed + packed_len};
    if (!unpack(&reading, &h, n, ms, missing, value)) {
        return bad("its packed part does not hold what its header says");
    }
    struct series s = {.channels = h.channels, .scale = h.scale, .count = h.count};
    s.n = n;
    s.ms = ms;
    s.missing = missing;
    s.value = value;
    memcpy(s.unit, h.unit, sizeof s.unit);
    size_t last = h.count - 1;
    if (n[0] != h.first_n || ms[0] != h.first_ms || n[last] != h.last_n || ms[last] != h.last_ms) {
        return bad("its first and last numbers and times do not fit");
    }
    TRY(check_samples(&s));
    *out = s;
    return RESULT_OK;
}
