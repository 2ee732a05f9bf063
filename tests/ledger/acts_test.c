/* What no act takes. */
#include "stock.h"

static struct house h;
static const char *growing, *harvested;

static int set_up(void **state)
{
    house_open(&h);
    growing = house_grow(&h, "C1", "100 kg");
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'50 %%','mass':'400 kg','place':'WASH'}",
               growing);
    harvested = house_answer(&h, "lot");
    house_wait(&h, "10 min");
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

/* One command a kind, each with a field that no such command has. */
static void fields_that_nobody_knows(void **state)
{
    static const char *const kinds[] = {
        "receive",    "seed-test", "approve",       "heat-treat",  "soak",        "grow",
        "water",      "harvest",   "empty",         "wash",        "pack",        "run-start",
        "run-end",    "move",      "ship",          "return",      "destroy",     "count",
        "split",      "join",      "rework",        "metal-check", "label-check", "seal-check",
        "cold-check", "inspect",   "water-reading", "clean",       "calibrate",   "moisture-check"};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        house_refused(&h, FIELD_UNKNOWN,
                      house_text(&h, "{'kind':'%s','colour':'green'}", kinds[i]));
    }
    house_refused(&h, FIELD_UNKNOWN,
                  house_text(&h,
                             "{'kind':'wash','inputs':[{'lot':'%s','weight':'1 kg'}],'place':'WASH'"
                             ",'outputs':[{'role':'main'}]}",
                             harvested));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(fields_that_nobody_knows),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
