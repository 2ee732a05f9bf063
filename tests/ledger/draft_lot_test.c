/* Codes of lots. */
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

/* A code stands on a label and before the number of a case. */
static void lot_codes_that_no_label_can_carry(void **state)
{
    static const char *const bad[] = {
        "", "A..B", "A B", "A,B", "LOT\xC3\x84", "A234567890123456789012345678901234567890X"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        house_refused(&h, FIELD_RANGE,
                      house_text(&h,
                                 "{'kind':'harvest','lot':'%s','share':'10 %%','mass':'80 kg',"
                                 "'place':'WASH','lot_out':'%s'}",
                                 growing, bad[i]));
    }
    house_refused(&h, LOT_EXISTS,
                  house_text(&h,
                             "{'kind':'harvest','lot':'%s','share':'10 %%','mass':'80 kg','place':"
                             "'WASH','lot_out':'%s'}",
                             growing, harvested));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(lot_codes_that_no_label_can_carry),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
