/* Runs are started and ended. Times are minutes after the start. */
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

static void a_run_has_one_place_and_one_span(void **state)
{
    minutes_start_run(&h, &m, "0 s");
    house_rule(&h, RUN_OPEN, "run-still-open",
               "{'kind':'run-start','place':'WASH','run':'W2','family':'mung','carry_over':'0 s'}");
    house_refused(&h, LOT_EXISTS,
                  "{'kind':'run-start','place':'WASH','run':'W1','family':'mung','carry_over':'0 "
                  "s'}");
    house_refused(&h, RUN_PLACE,
                  house_text(&h,
                             "{'kind':'sort','run':'W1','place':'SORT','inputs':[{'lot':'%s'}],"
                             "'outputs':[{'role':'main','mass':'9 kg'}]}",
                             m.lots[0]));
    house_take(&h, "{'kind':'run-end','run':'W1','at':'%s'}", minutes_at(&h, &m, 120));
    house_refused(&h, RUN_ENDED, "{'kind':'run-end','run':'W1'}");
    house_refused(&h, RUN_UNKNOWN, "{'kind':'run-end','run':'W9'}");
    house_rule(&h, RUN_IDLE, "outside-run",
               house_text(&h,
                          "{'kind':'wash','run':'W1','place':'WASH','inputs':[{'lot':'%s','mass':"
                          "'50 kg'}],'start':'%s','end':'%s','outputs':[{'role':'main','mass':'47 "
                          "kg'},{'role':'hulls','mass':'3 kg'}]}",
                          m.lots[0], minutes_at(&h, &m, 119), minutes_at(&h, &m, 121)));
    house_refused(
        &h, END_BEFORE_START,
        house_text(&h, "{'kind':'run-end','run':'W2','at':'%s'}", minutes_at(&h, &m, -1)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_run_has_one_place_and_one_span),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
