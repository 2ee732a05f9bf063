/* The inputs of joining and reworking. */
#include "stock.h"

static struct house h;
static const char *packed; /* 20 cases of 40 pieces */

static int set_up(void **state)
{
    house_open(&h);
    packed = house_pack(&h, house_grow(&h, "C1", "100 kg"));
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static const char *rework_text(const char *inputs)
{
    return house_text(&h, "{'kind':'rework','item':'MUNG','inputs':[%s]}", inputs);
}

static void a_lot_stands_once_in_the_list(void **state)
{
    const char *one = house_text(&h, "{'units':['%s-0001']},{'units':['%s-0002']}", packed, packed);
    house_refused(&h, FIELD_RANGE, rework_text(one));
    house_refused(&h, FIELD_RANGE, rework_text(""));
    house_refused(&h, FIELD_TYPE, rework_text("'all'"));
    house_refused(&h, FIELD_MISSING, rework_text("{}"));
    house_refused(&h, FIELD_UNKNOWN, rework_text("{'cases':1}"));
    house_refused(&h, FIELD_MISSING, "{'kind':'rework','item':'MUNG'}");
}

/* Both at once would take the cases twice. */
static void cases_or_the_lot_but_not_both(void **state)
{
    house_refused(&h, FIELD_RANGE,
                  rework_text(house_text(&h, "{'units':['%s-0001'],'lot':'%s'}", packed, packed)));
    house_refused(&h, UNITS_WANTED,
                  rework_text(house_text(&h, "{'lot':'%s','pieces':40}", packed)));
    house_refused(&h, UNITS_WANTED,
                  rework_text(house_text(&h, "{'lot':'%s','mass':'1 kg','pieces':4}", packed)));
}

static void an_unknown_case_names_where_it_stands(void **state)
{
    house_refused(&h, UNIT_UNKNOWN,
                  rework_text(house_text(&h, "{'units':['%s-0001','%s-0099']}", packed, packed)));
    assert_string_equal(h.refusal.field, "units[1]");
}

/* The case that is gone is told of all the same: the lot owes it. */
static void a_case_that_is_gone_is_owed(void **state)
{
    house_take(&h, "{'kind':'destroy','units':['%s-0001'],'to':'waste','reason':'torn'}", packed);
    house_rule(&h, UNIT_GONE, "unit-gone",
               rework_text(house_text(&h, "{'units':['%s-0001']}", packed)));
    assert_int_equal(house_balance(&h, packed, UNIT_PIECES), 720);
    assert_int_equal(house_deviations(&h), 1); /* 760 pieces were there to take them from */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_lot_stands_once_in_the_list),
        T(cases_or_the_lot_but_not_both),
        T(an_unknown_case_names_where_it_stands),
        T(a_case_that_is_gone_is_owed),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
