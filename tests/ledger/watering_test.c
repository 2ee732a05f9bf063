/* Water that steps name. */
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

/* A wash names the water of all that came out of it, for as long as it came out. */
static void a_wash_may_name_its_water(void **state)
{
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'50 %%','mass':'400 kg','place':'WASH'}",
               growing);
    const char *harvested = house_answer(&h, "lot");
    house_wait(&h, "1 h");
    const char *from = house_time(&h, -30), *to = house_time(&h, -10);
    static const char *const none[] = {"COLD", "NOWHERE"};
    for (int i = 0; i < 2; i++) {
        house_refused(&h, PLACE_UNKNOWN,
                      house_text(&h,
                                 "{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','water':"
                                 "'%s','outputs':[{'role':'main','mass':'400 kg'}]}",
                                 harvested, none[i]));
    }
    house_take(&h,
               "{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','start':'%s','end':'%s',"
               "'water':'WATER','outputs':[{'role':'main','mass':'380 kg'},{'role':'hulls','mass':"
               "'20 kg'}]}",
               harvested, from, to);
    const char *lots[] = {house_answer(&h, "lots.0.lot"), house_answer(&h, "lots.1.lot")};
    for (size_t i = 0; i < 2; i++) {
        assert_int_equal(house_effect(&h, "reading", i, 1), i);
        assert_string_equal(house_effect_text(&h, "reading", i, 2), "watering");
        assert_string_equal(house_effect_text(&h, "reading", i, 3), "WASH");
        assert_int_equal(house_effect(&h, "reading", i, 4), house_lot(&h, lots[i]));
        assert_int_equal(house_effect(&h, "reading", i, 11), h.fixed.now_ms - 30 * 60000);
        assert_string_equal(house_effect_text(&h, "reading", i, 10),
                            house_text(&h, "{\"source\":\"WATER\",\"to_ms\":%lld}",
                                       (long long)(h.fixed.now_ms - 10 * 60000)));
    }
}

static void a_soak_may_name_its_water(void **state)
{
    struct entry treated = house_entry(&h, "heat-treat");
    const char *load = house_in_body(&h, &treated, "\"answer\"", "lot");
    house_take(&h, "{'kind':'soak','mode':'tell','lot':'%s','place':'SOAK','water':'WATER'}", load);
    assert_string_equal(house_effect_text(&h, "reading", 0, 2), "watering");
    assert_int_equal(house_effect(&h, "reading", 0, 4), house_lot(&h, load));
    house_refused(&h, PLACE_UNKNOWN,
                  house_text(&h, "{'kind':'soak','lot':'%s','place':'SOAK','water':'C1'}", load));
}

#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_wash_may_name_its_water),
        T(a_soak_may_name_its_water),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
