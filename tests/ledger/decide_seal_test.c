/* Sealed pieces of series. */
#include "fixture.h"

#include "base/digest.h"
#include "ledger/series.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

/* count readings a second apart from a moment, numbered from first; -> base64 of the piece. */
static const char *piece_of(int64_t from_ms, int64_t first, size_t count, int channels,
                            struct hash *out)
{
    int64_t *n = ARENA_ARRAY(&h.arena, int64_t, count), *ms = ARENA_ARRAY(&h.arena, int64_t, count);
    uint16_t *missing = ARENA_ARRAY(&h.arena, uint16_t, count);
    int32_t *value = ARENA_ARRAY(&h.arena, int32_t, count * (size_t)channels);
    for (size_t i = 0; i < count; i++) {
        n[i] = first + (int64_t)i + (i >= 5 ? 2 : 0); /* two numbers are lost behind the fifth */
        ms[i] = from_ms + (int64_t)i * 1000;
    }
    struct series s = {.channels = channels,
                       .scale = 1,
                       .unit = "Cel",
                       .count = count,
                       .n = n,
                       .ms = ms,
                       .missing = missing,
                       .value = value};
    struct series_piece piece;
    assert_ok(series_encode(&h.arena, &s, &piece));
    *out = digest_sha256(piece.bytes, piece.len);
    return base64_text(&h.arena, piece.bytes, piece.len);
}

static struct result seal(const char *series, const char *bytes, const char *rest)
{
    return house_send(&h, "{'kind':'seal','series':'%s','bytes_b64':'%s'%s}", series, bytes, rest);
}

static void a_piece_is_sealed_once_and_replaced_by_name(void **state)
{
    struct hash one, two, three;
    int64_t at = h.fixed.now_ms - 3600000;
    const char *first = piece_of(at, 1, 60, 1, &one),
               *again = piece_of(at + 30000, 500, 60, 1, &two);
    assert_ok(seal("cold-1", first, ""));
    assert_int_equal(house_number(&h, "count"), 60);
    assert_string_equal(house_answer(&h, "sha256"), hex_text(&h.arena, one.b, 32));
    assert_code(seal("cold-1", first, ""), PIECE_OVERLAP);
    assert_code(seal("cold-1", again, ""), PIECE_OVERLAP);
    assert_string_equal(h.refusal.value[1], hex_text(&h.arena, one.b, 32));
    assert_ok(seal("cold-2", again, "")); /* another series */
    assert_code(seal("cold-1", again, ",'replaces':'00'"), FIELD_TYPE);
    assert_code(seal("cold-1", again,
                     arena_printf(&h.arena, ",'replaces':'%s'", hex_text(&h.arena, two.b, 32))),
                PIECE_UNKNOWN);
    assert_ok(seal("cold-1", again,
                   arena_printf(&h.arena, ",'replaces':'%s'", hex_text(&h.arena, one.b, 32))));
    assert_ok(seal("cold-1", piece_of(at + 200000, 1000, 60, 1, &three), ""));
    assert_code(seal("cold-1", piece_of(at + 400000, 2000, 60, 2, &three), ""), SERIES_MIXED);
    assert_code(seal("cold-3", "bm90ZQ==", ""), SERIES_BAD);
    assert_code(seal("cold-3", piece_of(h.fixed.now_ms, 1, 600, 1, &three), ""), TIME_FUTURE);
    assert_code(seal("", first, ""), FIELD_RANGE);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_piece_is_sealed_once_and_replaced_by_name),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
