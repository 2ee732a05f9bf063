#include "series_support.h"

#include <stdlib.h>
#include <zlib.h>

#include "base/random.h"

static void assert_round_trip(const struct series *s)
{
    struct series_piece piece = encoded(s);
    struct series back;
    assert_int_equal(series_decode(&arena, &piece, &back).code, CODE_OK);
    assert_same(s, &back);
}

/* Any samples the limits allow, extremes more often than chance would. */
static struct draft random_series(struct random *r)
{
    int channels = 1 + (int)random_below(r, 16);
    struct draft d = make(channels, 1 + random_below(r, 300));
    int64_t n = (int64_t)random_below(r, 1000);
    int64_t ms = START_MS;
    uint64_t steps = random_below(r, 3);
    for (size_t i = 0; i < d.s.count; i++) {
        d.n[i] = n;
        d.ms[i] = ms;
        n += 1 + (int64_t)random_below(r, steps == 0 ? 1 : 1 << 30);
        ms += (int64_t)random_below(r, 12000);
        d.missing[i] = (uint16_t)(random_below(r, 3) == 0 ? random_below(r, 1ULL << channels) : 0);
        for (int c = 0; c < channels; c++) {
            int32_t value = (int32_t)random_u64(r);
            value = random_below(r, 9) == 0 ? INT32_MIN : value;
            value = random_below(r, 9) == 0 ? INT32_MAX : value;
            value = steps == 0 ? (int32_t)random_below(r, 90000) : value;
            bool there = (d.missing[i] >> c & 1) == 0;
            d.value[i * (size_t)channels + (size_t)c] = there ? value : 0;
        }
    }
    d.s.scale = (int)random_below(r, 10);
    return d;
}

static void random_series_come_back_exactly(void **state)
{
    struct random r;
    random_seed(&r, 1);
    for (int round = 0; round < 400; round++) {
        struct draft d = random_series(&r);
        assert_round_trip(&d.s);
        arena_clear(&arena);
    }
}

static void the_limits_themselves_come_back(void **state)
{
    struct draft d = make(1, 1);
    d.n[0] = 0;
    d.ms[0] = SERIES_MS_MIN;
    d.value[0] = INT32_MIN;
    assert_round_trip(&d.s);
    d.n[0] = SERIES_N_MAX;
    d.ms[0] = SERIES_MS_MAX;
    memcpy(d.s.unit, "fifteen letters", SERIES_UNIT_BYTES);
    assert_round_trip(&d.s);
    d = make(1, 2);
    d.n[0] = 0;
    d.n[1] = SERIES_N_MAX;
    d.value[0] = INT32_MIN;
    d.value[1] = INT32_MAX;
    assert_round_trip(&d.s);
    d = make(16, 3);
    d.missing[1] = 0xFFFF;
    memset(d.value + 16, 0, 16 * sizeof *d.value);
    assert_round_trip(&d.s);
}

static void a_full_piece_comes_back(void **state)
{
    for (int channels = 1; channels <= 16; channels += 15) {
        size_t most = SERIES_PLAIN_MAX / series_plain_bytes(channels, 1);
        struct draft d = make(channels, most);
        struct random r;
        random_seed(&r, 2);
        for (size_t i = 0; i < most * (size_t)channels; i++) {
            d.value[i] = (int32_t)random_u64(&r);
        }
        for (size_t i = 0; i < most; i++) {
            d.n[i] = (int64_t)i << 34;
            d.ms[i] = START_MS;
        }
        struct series_piece piece = encoded(&d.s);
        assert_true(piece.len <= SERIES_BYTES_MAX);
        assert_round_trip(&d.s);
        d = make(channels, most + 1);
        assert_int_equal(series_encode(&arena, &d.s, &piece).code, CODE_SERIES_BAD);
        arena_clear(&arena);
    }
}

static void the_header_tells_what_is_inside(void **state)
{
    struct draft d = make(3, 100);
    struct series_piece piece = encoded(&d.s);
    struct series_header h;
    assert_int_equal(series_header_read(&piece, &h).code, CODE_OK);
    assert_int_equal(h.channels, 3);
    assert_int_equal(h.scale, 3);
    assert_string_equal(h.unit, "C");
    assert_int_equal(h.count, 100);
    assert_int_equal(h.first_n, 1);
    assert_int_equal(h.last_n, 100);
    assert_int_equal(h.first_ms, START_MS);
    assert_int_equal(h.last_ms, START_MS + 99000);
}

/* The layout that series.h gives, written out by hand: whoever changes it must raise the version.
 */
static void the_layout_is_the_one_written_down(void **state)
{
    struct draft d = make(2, 3);
    d.missing[1] = 2;
    for (int i = 0; i < 6; i++) {
        d.value[i] = (const int32_t[]){10, -1, 75, 0, 74, -130}[i];
    }
    struct series_piece piece = encoded(&d.s);
    static const uint8_t beginning[32] = {'S', 'P', 'C', 1, 2, 3, 1, 0, 'C', [24] = 3, [28] = 18};
    assert_memory_equal(piece.bytes, beginning, sizeof beginning);
    uint8_t packed[64];
    uLongf len = sizeof packed;
    assert_int_equal(uncompress(packed, &len, piece.bytes + 64, piece.len - 64), Z_OK);
    static const uint8_t want[] = {
        0,  2,    2,                /* n 1 2 3 */
        0,  0xD0, 0x0F, 0xD0, 0x0F, /* 0, +1000, +1000 ms: zig-zag 2000 */
        0,  4,    3,                /* marks 0 2 0 */
        20, 0x82, 0x01, 1,          /* 10, +65, -1 */
        1,  0x81, 0x02,             /* -1, -129 */
    };
    assert_int_equal(len, sizeof want);
    assert_memory_equal(packed, want, sizeof want);
}

static void steady_readings_take_little_room(void **state)
{
    struct draft d = make(4, 3600);
    struct series_piece piece = encoded(&d.s);
    assert_true(piece.len * 100 < series_plain_bytes(4, 3600));
}

static void assert_not_encoded(const struct draft *d, const char *why)
{
    struct series_piece piece;
    struct result r = series_encode(&arena, &d->s, &piece);
    assert_int_equal(r.code, CODE_SERIES_BAD);
    assert_string_equal(r.value[0], why);
}

static void samples_out_of_order_are_refused(void **state)
{
    struct draft d = make(1, 3);
    d.n[2] = d.n[1];
    assert_not_encoded(&d, "its numbers do not rise");
    d = make(1, 3);
    d.ms[2] = d.ms[1] - 1;
    assert_not_encoded(&d, "its clock runs back");
    d = make(1, 3);
    d.missing[0] = 2;
    assert_not_encoded(&d, "a missing mark names a channel that is not there");
    d = make(1, 3);
    d.ms[2] = START_MS + HOUR;
    assert_not_encoded(&d, "it spans more than one hour");
    d.ms[2]--;
    assert_round_trip(&d.s);
    d = make(1, 3);
    d.n[2] = SERIES_N_MAX + 1;
    assert_not_encoded(&d, "a number or time is out of range");
    d = make(1, 3);
    d.s.count = 0;
    assert_not_encoded(&d, "it has no samples");
}

static enum code code_of(const uint8_t *bytes, size_t len)
{
    struct series_piece piece = {.bytes = bytes, .len = len};
    struct series s;
    return series_decode(&arena, &piece, &s).code;
}

static void every_cut_piece_is_refused(void **state)
{
    struct draft d = make(2, 50);
    struct series_piece piece = encoded(&d.s);
    for (size_t len = 0; len < piece.len; len++) {
        uint8_t *copy = malloc(len + 1); /* its own block: the sanitizer sees a read past the cut */
        assert_non_null(copy);
        memcpy(copy, piece.bytes, len);
        assert_int_equal(code_of(copy, len), CODE_SERIES_BAD);
        free(copy);
    }
    uint8_t *longer = arena_alloc(&arena, piece.len + 1);
    memcpy(longer, piece.bytes, piece.len);
    assert_int_equal(code_of(longer, piece.len + 1), CODE_SERIES_BAD);
}

/* Flips in the header and in the compressed part: refused, or (unit, scale) still the same samples.
 */
static void flipped_bits_never_change_samples_unseen(void **state)
{
    struct draft d = make(2, 50);
    struct series_piece piece = encoded(&d.s);
    uint8_t *copy = arena_alloc(&arena, piece.len);
    for (size_t bit = 0; bit < piece.len * 8; bit++) {
        memcpy(copy, piece.bytes, piece.len);
        copy[bit / 8] ^= (uint8_t)(1 << bit % 8);
        struct series_piece flipped = {.bytes = copy, .len = piece.len};
        struct series s;
        if (series_decode(&arena, &flipped, &s).code == CODE_OK) {
            s.scale = d.s.scale;
            memcpy(s.unit, d.s.unit, sizeof s.unit);
            assert_same(&d.s, &s);
        }
    }
}

/* A piece whose packed part is given as it is. */
static struct series_piece forged(const uint8_t header[64], const uint8_t *packed, size_t len)
{
    uLongf room = compressBound(len);
    uint8_t *bytes = arena_alloc(&arena, 64 + room);
    memcpy(bytes, header, 64);
    assert_int_equal(compress2(bytes + 64, &room, packed, len, 9), Z_OK);
    bytes[28] = (uint8_t)len;
    bytes[29] = (uint8_t)(len >> 8);
    bytes[30] = (uint8_t)(len >> 16);
    bytes[31] = (uint8_t)(len >> 24);
    return (struct series_piece){.bytes = bytes, .len = 64 + room};
}

static void hostile_packed_parts_are_refused(void **state)
{
    struct draft d = make(1, 2);
    struct series_piece honest = encoded(&d.s);
    static const struct {
        uint8_t bytes[24];
        size_t len;
    } rows[] = {
        {{0, 2, 0, 0xD0, 0x0F, 0, 0, 0xF0, 0xAF, 0x0A}, 10}, /* one value short */
        {{0, 2, 0, 0xD0, 0x0F, 0, 0, 0, 0, 0}, 10},          /* one too many */
        {{0, 0, 0, 0xD0, 0x0F, 0, 0, 0, 0}, 9},              /* n stands still */
        {{0, 1, 0, 0xD0, 0x0F, 0, 0, 0, 0}, 9},              /* n runs back */
        {{0, 2, 0, 0xD1, 0x0F, 0, 0, 0, 0}, 9},              /* time outside the header's */
        {{0, 2, 0, 0xD0, 0x0F, 0, 8, 0, 0}, 9},              /* a mark too high */
        {{0, 2, 0, 0xD0, 0x8F, 0x00, 0, 0, 0, 0}, 10},       /* longer than needed */
        {{0, 2, 0, 0xD0, 0x0F, 0, 0, 0x80, 0x80, 0x80, 0x80, 0x10, 0}, 13}, /* above int32 */
        {{0, 2, 0, 0xD0, 0x0F, 0, 0, 255, 255, 255, 255, 255, 255, 255, 255, 255, 255, 1}, 18},
        {{0, 2, 0, 0xD0, 0x0F, 0, 0, 255, 255, 255, 255, 255, 255, 255, 255, 255, 3, 1}, 18},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct series_piece piece = forged(honest.bytes, rows[i].bytes, rows[i].len);
        assert_int_equal(code_of(piece.bytes, piece.len), CODE_SERIES_BAD);
    }
    static const uint8_t good[] = {0, 2, 0, 0xD0, 0x0F, 0, 0, 0, 0};
    struct series_piece piece = forged(honest.bytes, good, sizeof good);
    assert_int_equal(code_of(piece.bytes, piece.len), CODE_OK);
}

static void hostile_headers_are_refused(void **state)
{
    struct draft d = make(1, 2);
    struct series_piece honest = encoded(&d.s);
    static const struct {
        size_t at, len;
        uint64_t value;
    } rows[] = {
        {0, 1, 'X'},         {3, 1, 2},
        {4, 1, 0},           {4, 1, 17},
        {5, 1, 10},          {6, 2, 16},
        {6, 2, 0xFFFF},      {6, 2, 0},
        {9, 1, 'x'},         {24, 4, 0},
        {24, 4, 0xFFFFFFFF}, {24, 4, 190651},
        {28, 4, 0xFFFFFFFF}, {28, 4, (8 << 20) + 1},
        {32, 8, UINT64_MAX}, {40, 8, 1ULL << 62},
        {40, 8, 1},          {48, 8, 1ULL << 63},
        {56, 8, INT64_MAX},  {56, 8, 0},
        {28, 4, 1},
    };
    uint8_t *copy = arena_alloc(&arena, honest.len);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        memcpy(copy, honest.bytes, honest.len);
        for (size_t b = 0; b < rows[i].len; b++) {
            copy[rows[i].at + b] = (uint8_t)(rows[i].value >> (8 * b));
        }
        assert_int_equal(code_of(copy, honest.len), CODE_SERIES_BAD);
    }
}

/* 8 MiB of zeros squeezed into some thousand bytes: taken apart in bounded memory, then refused. */
static void a_compression_bomb_is_refused(void **state)
{
    struct draft d = make(1, 2);
    struct series_piece honest = encoded(&d.s);
    size_t len = SERIES_PACKED_MAX;
    uint8_t *zeros = calloc(len + 1, 1);
    assert_non_null(zeros);
    struct series_piece piece = forged(honest.bytes, zeros, len);
    assert_int_equal(code_of(piece.bytes, piece.len), CODE_SERIES_BAD);
    piece = forged(honest.bytes, zeros, len + 1);
    assert_int_equal(code_of(piece.bytes, piece.len), CODE_SERIES_BAD);
    free(zeros);
}

/* The digest that an entry carries is over the bytes as they are kept: the same samples, the same
 * digest. */
static void the_same_samples_give_the_same_bytes(void **state)
{
    struct draft d = make(2, 600);
    struct series_piece x = encoded(&d.s);
    struct series_piece y = encoded(&d.s);
    struct hash x_hash = digest_sha256(x.bytes, x.len);
    struct hash y_hash = digest_sha256(y.bytes, y.len);
    assert_true(hash_equal(&x_hash, &y_hash));
    d.value[0]++;
    y = encoded(&d.s);
    y_hash = digest_sha256(y.bytes, y.len);
    assert_false(hash_equal(&x_hash, &y_hash));
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        SERIES_TEST(random_series_come_back_exactly),
        SERIES_TEST(the_limits_themselves_come_back),
        SERIES_TEST(a_full_piece_comes_back),
        SERIES_TEST(the_header_tells_what_is_inside),
        SERIES_TEST(the_layout_is_the_one_written_down),
        SERIES_TEST(steady_readings_take_little_room),
        SERIES_TEST(samples_out_of_order_are_refused),
        SERIES_TEST(every_cut_piece_is_refused),
        SERIES_TEST(flipped_bits_never_change_samples_unseen),
        SERIES_TEST(hostile_packed_parts_are_refused),
        SERIES_TEST(hostile_headers_are_refused),
        SERIES_TEST(a_compression_bomb_is_refused),
        SERIES_TEST(the_same_samples_give_the_same_bytes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
