/* Sealed pieces of series. */
#include "pieces.h"

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

static void a_piece_is_sealed_once_and_replaced_by_name(void **state)
{
    struct hash one, two, three;
    int64_t at = h.fixed.now_ms - 3600000;
    const char *first = pieces_text(&h, at, 1, 60, 1, &one),
               *again = pieces_text(&h, at + 30000, 500, 60, 1, &two);
    assert_ok(pieces_seal(&h, "cold-1", first, ""));
    assert_int_equal(house_number(&h, "count"), 60);
    assert_string_equal(house_answer(&h, "sha256"), hex_text(&h.arena, one.b, 32));
    assert_code(pieces_seal(&h, "cold-1", first, ""), PIECE_OVERLAP);
    assert_code(pieces_seal(&h, "cold-1", again, ""), PIECE_OVERLAP);
    assert_string_equal(h.refusal.value[1], hex_text(&h.arena, one.b, 32));
    assert_ok(pieces_seal(&h, "cold-2", again, "")); /* another series */
    assert_code(pieces_seal(&h, "cold-1", again, ",'replaces':'00'"), FIELD_TYPE);
    assert_code(
        pieces_seal(&h, "cold-1", again,
                    arena_printf(&h.arena, ",'replaces':'%s'", hex_text(&h.arena, two.b, 32))),
        PIECE_UNKNOWN);
    assert_ok(
        pieces_seal(&h, "cold-1", again,
                    arena_printf(&h.arena, ",'replaces':'%s'", hex_text(&h.arena, one.b, 32))));
    assert_ok(pieces_seal(&h, "cold-1", pieces_text(&h, at + 200000, 1000, 60, 1, &three), ""));
    assert_code(pieces_seal(&h, "cold-1", pieces_text(&h, at + 400000, 2000, 60, 2, &three), ""),
                SERIES_MIXED);
    assert_code(pieces_seal(&h, "cold-3", "bm90ZQ==", ""), SERIES_BAD);
    assert_code(pieces_seal(&h, "cold-3", pieces_text(&h, h.fixed.now_ms, 1, 600, 1, &three), ""),
                TIME_FUTURE);
    assert_code(pieces_seal(&h, "", first, ""), FIELD_RANGE);
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
