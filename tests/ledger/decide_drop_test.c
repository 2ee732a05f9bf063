/* Pieces that may go, and pieces that stay. */
#include "pieces.h"

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

static void a_piece_goes_when_nothing_needs_it(void **state)
{
    struct hash one, two;
    int64_t at = h.fixed.now_ms - 3600000;
    assert_ok(pieces_seal(&h, "cold-1", pieces_text(&h, at, 1, 60, 1, &one), ""));
    assert_ok(pieces_seal(&h, "treater", pieces_text(&h, at, 9, 60, 1, &two), ""));
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
