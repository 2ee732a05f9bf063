/* The run that a step belongs to. Times are minutes after its start. */
#include "stock.h"

static struct house h;
static const char *lots[4]; /* harvested, 100 kg each */

static int set_up(void **state)
{
    house_open(&h);
    const char *growing = house_grow(&h, "C1", "100 kg");
    for (int i = 0; i < 4; i++) {
        house_take(&h,
                   "{'kind':'harvest','lot':'%s','share':'12.5 %%','mass':'100 kg','place':'WASH'}",
                   growing);
        lots[i] = house_answer(&h, "lot");
    }
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

static int64_t start_ms;

static const char *minute(int m)
{
    return civil_text(&h.arena, start_ms + (int64_t)m * 60000, 0);
}

/* The run starts now; the clock then stands four hours later, so that all of it can be told. */
static void start_run(const char *carry_over)
{
    house_take(&h,
               "{'kind':'run-start','place':'WASH','run':'W1','family':'mung','carry_over':'%s'}",
               carry_over);
    start_ms = h.fixed.now_ms;
    house_wait(&h, "4 h");
}

/* 50 kg of a lot washed between two minutes: -> the main output. */
static const char *wash(const char *lot, int from, int to)
{
    house_take(&h,
               "{'kind':'wash','run':'W1','place':'WASH','inputs':[{'lot':'%s','mass':'50 kg'}],"
               "'start':'%s','end':'%s','outputs':[{'role':'main','mass':'47 kg'},{'role':'hulls',"
               "'mass':'3 kg'}]}",
               lot, minute(from), minute(to));
    return house_answer(&h, "lots.0.lot");
}

static void a_step_without_a_run_named_belongs_to_the_one_under_way(void **state)
{
    start_run("10 min");
    const char *a = wash(lots[0], 0, 30);
    house_take(&h,
               "{'kind':'wash','place':'WASH','inputs':[{'lot':'%s','mass':'50 kg'}],'start':'%s',"
               "'end':'%s','outputs':[{'role':'main','mass':'47 kg'},{'role':'hulls','mass':'3 "
               "kg'}]}",
               lots[1], minute(35), minute(60));
    assert_string_equal(house_edge(&h, lots[0], house_answer(&h, "lots.0.lot"), NULL), "possible");
    assert_string_equal(house_edge(&h, lots[1], a, NULL), "");
}

static void a_lot_does_not_go_in_before_it_is_there(void **state)
{
    start_run("0 s");
    house_rule(&h, LOT_NOT_YET, "used-before-born",
               house_text(&h,
                          "{'kind':'wash','place':'WASH','inputs':[{'lot':'%s','mass':'50 kg',"
                          "'from':'%s','to':'%s'}],'start':'%s','end':'%s','outputs':[{'role':"
                          "'main','mass':'47 kg'},{'role':'hulls','mass':'3 kg'}]}",
                          lots[0], minute(-60), minute(10), minute(-60), minute(10)));
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
