/* Watering. */
#include "stock.h"

static struct house h;
static const char *growing;

static int set_up(void **state)
{
    house_open(&h);
    growing = house_grow(&h, "C1", "100 kg");
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

/* Water that only runs through is a reading: nothing is moved by it. */
static void water_is_read_in_litres(void **state)
{
    house_take(&h,
               "{'kind':'water','chamber':'C1','source':'WATER','litres':'1200.5 L','temp':'19.5 "
               "C'}");
    assert_string_equal(house_answer(&h, "lot"), growing);
    assert_string_equal(house_effect_text(&h, "reading", 0, 2), "watering");
    assert_int_equal(house_effect(&h, "reading", 0, 4), house_lot(&h, growing));
    assert_int_equal(house_effect(&h, "reading", 0, 6), 1200500);
    assert_string_equal(house_effect_text(&h, "reading", 0, 7), "L");
    assert_string_equal(house_effect_text(&h, "reading", 0, 10),
                        "{\"source\":\"WATER\",\"temp_mc\":19500}");
    assert_int_equal(house_account(&h, "water", "mg"), 0);
    house_take(&h, "{'kind':'water','lot':'%s','source':'WATER','litres':'0 L'}", growing);
    assert_int_equal(house_deviations(&h), 0);
}

static void only_what_grows_is_watered(void **state)
{
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'50 %%','mass':'400 kg','place':'WASH'}",
               growing);
    house_rule(&h, LOT_KIND, "wrong-kind",
               house_text(&h, "{'kind':'water','lot':'%s','source':'WATER','litres':'1 L'}",
                          house_answer(&h, "lot")));
    house_refused(&h, CHAMBER_EMPTY,
                  "{'kind':'water','chamber':'C2','source':'WATER','litres':'1 L'}");
    house_refused(&h, PLACE_UNKNOWN,
                  "{'kind':'water','chamber':'C1','source':'COLD','litres':'1 L'}");
    house_refused(&h, DECIMAL_BAD,
                  "{'kind':'water','chamber':'C1','source':'WATER','litres':'1 L','temp':'warm'}");
    house_refused(&h, FIELD_MISSING, "{'kind':'water','chamber':'C1','source':'WATER'}");
    house_refused(&h, FIELD_MISSING, "{'kind':'water','chamber':'C1','litres':'1 L'}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(water_is_read_in_litres),
        T(only_what_grows_is_watered),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
