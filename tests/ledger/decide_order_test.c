/* The order book, version by version. */
#include "fixture.h"

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

static void an_order_book_grows_by_versions(void **state)
{
    static const char line[] =
        "{'key':'%s','customer':'COTYLEDON','item':'MUNG250','day':'2026-03-%02d','pieces':%d}";
    const char *a = arena_printf(&h.arena, line, "K1", 20, 400),
               *b = arena_printf(&h.arena, line, "K2", 21, 80);
    house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s,%s]}", a, b);
    assert_int_equal(house_number(&h, "new"), 2);
    int64_t entry = house_number(&h, "entry");
    house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s,%s]}",
               arena_printf(&h.arena, line, "K1", 20, 440), b);
    assert_int_equal(house_number(&h, "changed"), 1);
    assert_int_equal(house_number(&h, "unchanged"), 1);
    /* a line that is no longer there is cancelled only where the file says it is the whole book */
    house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s]}", b);
    assert_int_equal(house_number(&h, "cancelled"), 0);
    house_take(
        &h,
        "{'kind':'order','person':9,'source':'office','lines':[%s],'whole_book_from':'2026-03-20',"
        "'whole_book_to':'2026-03-21'}",
        b);
    assert_int_equal(house_number(&h, "cancelled"), 1);
    assert_code(house_send(&h, "{'kind':'strike','person':2,'entry':%lld,'reason':'r'}",
                           (long long)entry + 9),
                ENTRY_UNKNOWN);
    /* versions of struck entries are never used again */
    int64_t last = house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s]}",
                              arena_printf(&h.arena, line, "K1", 20, 500));
    house_take(&h, "{'kind':'strike','person':9,'entry':%lld,'reason':'wrong file'}",
               (long long)last);
    house_take(&h, "{'kind':'order','person':9,'source':'office','lines':[%s]}",
               arena_printf(&h.arena, line, "K1", 20, 600));
    assert_int_equal(house_number(&h, "changed"), 1);
    assert_code(
        house_send(&h, "{'kind':'order','person':9,'source':'office','lines':[%s,%s]}", b, b),
        FIELD_RANGE);
    assert_code(house_send(&h, "{'kind':'order','person':9,'source':'o','lines':[{'key':'K','"
                               "customer':'RADICLE','item':'MUNG250',"
                               "'day':'2026-03-20','pieces':1}]}"),
                PARTNER_UNKNOWN);
    assert_code(
        house_send(
            &h,
            "{'kind':'order','person':9,'source':'o','lines':[],'whole_book_from':'2026-03-20'}"),
        FIELD_MISSING);
}

/* Seed is bought, not sold: no plan would serve such a line, and nothing could leave for it. */
static void what_is_not_sold_is_not_ordered(void **state)
{
    (void)state;
    static const char line[] = "{'key':'K%d','customer':'COTYLEDON','item':'%s',"
                               "'day':'2026-03-20','pieces':5,'state':'%s'}";
    const char *good = arena_printf(&h.arena, line, 1, "MUNG250", "open");
    struct result r = house_send(&h, "{'kind':'order','person':9,'source':'o','lines':[%s,%s]}",
                                 good, arena_printf(&h.arena, line, 2, "MUNGSEED", "open"));
    assert_code(r, FIELD_CHOICE);
    assert_string_equal(r.field, "lines[1].item");
    assert_string_equal(r.value[0], "MUNGSEED");
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(an_order_book_grows_by_versions),
        TEST(what_is_not_sold_is_not_ordered),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
