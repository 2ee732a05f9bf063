/* What standing orders ask for beyond the order book. */
#include "view_support.h"

#include "service/standing_asked.h"

static struct house h;
static struct standing_ask *asks;

static int set_up(void **state)
{
    (void)state;
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    house_close(&h);
    return 0;
}

static void standing(const char *code, int pieces)
{
    house_take(&h,
               "{'kind':'standing-order','code':'%s','customer':'COTYLEDON','item':'MUNG250',"
               "'weekdays':['mon','tue','wed','thu','fri','sat','sun'],'pieces':%d,'from':"
               "'2026-01-01','person':9}",
               code, pieces);
}

static void order(int days, int pieces, const char *more)
{
    house_take(&h,
               "{'kind':'order','source':'shop','lines':[{'key':'O%d','customer':'COTYLEDON',"
               "'item':'MUNG250','day':'%s','pieces':%d%s}]}",
               days, day_text(&h.arena, (int32_t)house_day(&h) + days), pieces, more);
}

static int64_t asked(int days, const char *code)
{
    size_t count;
    int32_t today = (int32_t)house_day(&h);
    int64_t pieces = 0;
    assert_ok(standing_asked(h.store, &h.arena, today, today + 5, &asks, &count));
    for (size_t i = 0; i < count; i++) {
        assert_true(asks[i].pieces > 0);
        bool meant = asks[i].day == today + days && strcmp(asks[i].of->code, code) == 0;
        pieces += meant ? asks[i].pieces : 0;
    }
    return pieces;
}

static void orders_of_the_day_are_taken_off(void **state)
{
    (void)state;
    standing("S-1", 100);
    standing("S-2", 30);
    order(1, 40, "");
    order(2, 110, "");
    order(3, 10, "");
    order(3, 10, ",'state':'cancelled'");
    assert_int_equal(asked(0, "S-1"), 100);
    assert_int_equal(asked(0, "S-2"), 30);
    assert_int_equal(asked(1, "S-1"), 60);
    assert_int_equal(asked(1, "S-2"), 30);
    assert_int_equal(asked(2, "S-1"), 0);
    assert_int_equal(asked(2, "S-2"), 20);
    assert_int_equal(asked(3, "S-1"), 0); /* told that nothing is wanted */
    assert_int_equal(asked(5, "S-1"), 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(orders_of_the_day_are_taken_off, set_up, tear_down),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
