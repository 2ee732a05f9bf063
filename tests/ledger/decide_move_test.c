/* Lots and cases go to other places. */
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

static void a_lot_moves_with_its_cases(void **state)
{
    house_take(&h, "{'kind':'move','units':['%s-0001..%s-0019'],'place':'COLD'}", packed, packed);
    assert_string_equal(house_case(&h, packed, 19).place, "COLD");
    assert_string_equal(house_case(&h, packed, 20).place, "PACK");
    assert_string_equal(house_lot_row(&h, packed).place, "PACK"); /* some of it is still there */
    house_take(&h, "{'kind':'move','units':['%s-0020'],'place':'COLD'}", packed);
    assert_string_equal(house_lot_row(&h, packed).place, "COLD");
    house_take(&h, "{'kind':'store','lot':'%s','place':'STORE'}", packed);
    assert_string_equal(house_lot_row(&h, packed).place, "STORE");
    assert_string_equal(house_case(&h, packed, 7).place, "STORE");
    assert_int_equal(house_balance(&h, packed, UNIT_PIECES), 800);
    house_refused(&h, LOT_KIND,
                  house_text(&h, "{'kind':'move','lot':'RADICLE/%s','place':'COLD'}",
                             house_lot_row(&h, h.seed).supplier_code));
    house_refused(&h, PLACE_UNKNOWN,
                  house_text(&h, "{'kind':'move','lot':'%s','place':'MARS'}", packed));
}

static void a_case_that_is_gone_is_not_moved_by_being_named(void **state)
{
    house_take(&h, "{'kind':'destroy','units':['%s-0001'],'to':'waste','reason':'torn'}", packed);
    house_rule(&h, UNIT_GONE, "unit-gone",
               house_text(&h, "{'kind':'move','units':['%s-0001','%s-0002'],'place':'COLD'}",
                          packed, packed));
    assert_string_equal(house_case(&h, packed, 1).state, "destroyed");
    assert_null(house_case(&h, packed, 1).place);
    assert_string_equal(house_case(&h, packed, 2).place, "COLD");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_lot_moves_with_its_cases),
        T(a_case_that_is_gone_is_not_moved_by_being_named),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
