/* The run that a step belongs to. Times are minutes after its start. */
#include "minutes.h"

static struct house h;
static struct minutes m;

static int set_up(void **state)
{
    minutes_open(&h, &m);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static void a_step_without_a_run_named_belongs_to_the_one_under_way(void **state)
{
    minutes_start_run(&h, &m, "10 min");
    const char *a = minutes_wash(&h, &m, m.lots[0], 0, 30);
    house_take(&h,
               "{'kind':'wash','place':'WASH','inputs':[{'lot':'%s','mass':'50 kg'}],'start':'%s',"
               "'end':'%s','outputs':[{'role':'main','mass':'47 kg'},{'role':'hulls','mass':'3 "
               "kg'}]}",
               m.lots[1], minutes_at(&h, &m, 35), minutes_at(&h, &m, 60));
    assert_string_equal(house_edge(&h, m.lots[0], house_answer(&h, "lots.0.lot"), NULL),
                        "possible");
    assert_string_equal(house_edge(&h, m.lots[1], a, NULL), "");
}

static void a_lot_does_not_go_in_before_it_is_there(void **state)
{
    minutes_start_run(&h, &m, "0 s");
    house_rule(&h, LOT_NOT_YET, "used-before-born",
               house_text(&h,
                          "{'kind':'wash','place':'WASH','inputs':[{'lot':'%s','mass':'50 kg',"
                          "'from':'%s','to':'%s'}],'start':'%s','end':'%s','outputs':[{'role':"
                          "'main','mass':'47 kg'},{'role':'hulls','mass':'3 kg'}]}",
                          m.lots[0], minutes_at(&h, &m, -60), minutes_at(&h, &m, 10),
                          minutes_at(&h, &m, -60), minutes_at(&h, &m, 10)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_step_without_a_run_named_belongs_to_the_one_under_way),
        T(a_lot_does_not_go_in_before_it_is_there),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
