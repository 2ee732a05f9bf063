/* Deliveries and the lots of suppliers. */
#include "stock.h"

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

enum { KG = 1000000 };

static void supplier_lots_and_codes(void **state)
{
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','supplier_lot':'A7','item':'MUNGSEED',"
                   "'mass':'500 kg','place':'STORE','markets':['US','EU','US'],'sacks':20}");
    const char *first = house_answer(&h, "lot");
    assert_string_equal(house_answer(&h, "supplier_lot"), "A7");
    assert_int_equal(house_account(&h, "supplier", "mg"), -500 * KG);
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','supplier_lot':'A7','item':'MUNGSEED',"
                   "'mass':'250 kg','place':'STORE'}");
    const char *second = house_answer(&h, "lot");
    struct lot one, two;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, first, &one, &found));
    assert_ok(lot_by_code(h.store, &h.arena, second, &two, &found));
    assert_int_equal(one.supplier_lot, two.supplier_lot);
    assert_string_equal(one.markets, "EU,US");
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','supplier_lot':'','item':'MUNGSEED',"
                   "'mass':'1 kg','place':'STORE'}");
    const char *third = house_answer(&h, "lot");
    assert_ok(lot_by_code(h.store, &h.arena, third, &two, &found));
    assert_int_not_equal(one.supplier_lot, two.supplier_lot);
    house_refused(&h, LOT_EXISTS,
                  house_text(&h,
                             "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':"
                             "'1 kg','place':'STORE','lot':'%s'}",
                             first));
    house_sums(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(supplier_lots_and_codes),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
