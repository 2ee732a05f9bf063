/* Runs are started and ended. Times are minutes after the start. */
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

static void a_run_has_one_place_and_one_span(void **state)
{
    start_run("0 s");
    house_rule(&h, RUN_OPEN, "run-still-open",
               "{'kind':'run-start','place':'WASH','run':'W2','family':'mung','carry_over':'0 s'}");
    house_refused(&h, LOT_EXISTS,
                  "{'kind':'run-start','place':'WASH','run':'W1','family':'mung','carry_over':'0 "
                  "s'}");
    house_refused(&h, RUN_PLACE,
                  house_text(&h,
                             "{'kind':'sort','run':'W1','place':'SORT','inputs':[{'lot':'%s'}],"
                             "'outputs':[{'role':'main','mass':'9 kg'}]}",
                             lots[0]));
    house_take(&h, "{'kind':'run-end','run':'W1','at':'%s'}", minute(120));
    house_refused(&h, RUN_ENDED, "{'kind':'run-end','run':'W1'}");
    house_refused(&h, RUN_UNKNOWN, "{'kind':'run-end','run':'W9'}");
    house_rule(&h, RUN_IDLE, "outside-run",
               house_text(&h,
                          "{'kind':'wash','run':'W1','place':'WASH','inputs':[{'lot':'%s','mass':"
                          "'50 kg'}],'start':'%s','end':'%s','outputs':[{'role':'main','mass':'47 "
                          "kg'},{'role':'hulls','mass':'3 kg'}]}",
                          lots[0], minute(119), minute(121)));
    house_refused(&h, END_BEFORE_START,
                  house_text(&h, "{'kind':'run-end','run':'W2','at':'%s'}", minute(-1)));
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
