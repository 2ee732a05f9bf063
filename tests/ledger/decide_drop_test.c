/* Pieces that may go, and pieces that stay. */
#include "fixture.h"

#include "base/digest.h"
#include "ledger/series.h"
#include "ledger/verify.h"

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

static void a_piece_goes_when_nothing_needs_it(void **state)
{
    struct hash one, two;
    int64_t at = h.fixed.now_ms - 3600000;
    assert_ok(seal("cold-1", piece_of(at, 1, 60, 1, &one), ""));
    assert_ok(seal("treater", piece_of(at, 9, 60, 1, &two), ""));
    const char *name = hex_text(&h.arena, one.b, 32), *kept = hex_text(&h.arena, two.b, 32);
    assert_code(house_send(&h, "{'kind':'drop-piece','piece':'%s','reason':'old'}", name),
                PIECE_YOUNG);
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'100 "
                   "kg','place':'STORE','lot':'S1'}");
    const char *from = civil_text(&h.arena, at, 0), *to = civil_text(&h.arena, at + 59000, 0);
    house_take(&h,
               "{'kind':'heat-treat','inputs':[{'lot':'S1'}],'place':'TREAT','recipe':'hot-water-"
               "85','probes':['PROBE-1'],"
               "'series':{'name':'treater','from':'%s','to':'%s'},'start':'%s','end':'%s'}",
               from, to, from, to);
    h.fixed.now_ms += INT64_C(800) * 86400000; /* two years and more */
    assert_code(house_send(&h, "{'kind':'drop-piece','piece':'%s'}", kept), PIECE_NEEDED);
    assert_code(house_send(&h, "{'kind':'drop-piece','person':5,'piece':'%s'}", name),
                ROLE_MISSING);
    house_take(&h, "{'kind':'drop-piece','piece':'%s'}", name);
    assert_code(house_send(&h, "{'kind':'drop-piece','piece':'%s'}", name), PIECE_UNKNOWN);
    struct statement *q = store_prepare(h.store, Q_BLOB_GET);
    store_bind_bytes(q, 1, one.b, 32);
    bool row;
    assert_ok(store_step(q, &row));
    assert_true(row && store_is_null(q, 4));
    assert_true(store_int(q, 3) > 0); /* its size is remembered */
    assert_ok(store_step(q, &row));
    struct verify_report report;
    assert_ok(ledger_verify(h.store, NULL, &h.arena, &report));
    assert_int_equal(report.found, 0);
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(a_piece_goes_when_nothing_needs_it),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
