/* Packs are undone and worked again. */
#include "packs.h"

static struct house h;
static const char *growing, *packed;

static int set_up(void **state)
{
    packs_open(&h, &growing, &packed);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

enum { KG = 1000000, CASE_MG = PACKS_CASE_MG };

static void packs_are_undone(void **state)
{
    const char *loose = packs_loose(&h, growing, packs_in_days(&h, 5));
    int64_t made = house_account(&h, "made", "pc");
    house_take(
        &h,
        "{'kind':'rework','inputs':[{'units':['%s-0001..%s-0002']},{'lot':'%s','pieces':10}],"
        "'item':'MUNG','lot_out':'AGAIN-1','place':'WASH'}",
        packed, packed, loose);
    struct lot again = house_lot_row(&h, "AGAIN-1");
    assert_string_equal(again.kind, "reworked");
    assert_string_equal(again.markets, "US"); /* the one went to US and EU, the other to the US */
    assert_int_equal(house_account(&h, "made", "pc") - made, 90);
    assert_int_equal(house_balance(&h, "AGAIN-1", UNIT_MG), 2 * CASE_MG + 10 * 251000);
    assert_int_equal(house_balance(&h, "AGAIN-1", UNIT_PIECES), 0);
    assert_string_equal(house_case(&h, packed, 2).state, "destroyed");
    int64_t mg;
    assert_string_equal(house_edge(&h, packed, "AGAIN-1", &mg), "measured");
    assert_int_equal(mg, 2 * CASE_MG);
    house_take(
        &h, "{'kind':'wash','mode':'ask','inputs':[{'lot':'AGAIN-1'}],'place':'WASH','outputs':[{"
            "'role':'main'}]}");
    assert_true(house_closed(&h, "AGAIN-1"));
    house_refused(
        &h, FIELD_CHOICE,
        house_text(&h, "{'kind':'rework','inputs':[{'lot':'%s'}],'item':'MUNGSEED'}", loose));
    house_refused(&h, ITEM_UNKNOWN,
                  house_text(&h, "{'kind':'rework','inputs':[{'lot':'%s'}],'item':'PEA'}", loose));
    house_refused(&h, FIELD_MISSING,
                  house_text(&h, "{'kind':'rework','inputs':[{'lot':'%s'}]}", loose));
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['use'],'needs':'check',"
               "'reason':'smells'}",
               loose);
    house_rule(&h, HELD, "held-used",
               house_text(&h,
                          "{'kind':'rework','inputs':[{'lot':'%s'}],'item':'MUNG','lot_out':"
                          "'AGAIN-2'}",
                          loose));
    assert_true(house_stops(&h, "AGAIN-2", "use"));
    assert_true(house_closed(&h, loose));
    house_sums(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(packs_are_undone),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
