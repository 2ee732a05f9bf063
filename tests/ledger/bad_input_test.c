/* What can't be read is refused whichever way it is sent, and nothing is written. */
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

static void quantities_without_their_unit(void **state)
{
    static const struct {
        enum code code;
        const char *command;
    } bad[] = {
        {CODE_UNIT_BAD, "{'kind':'harvest','lot':'LOT','mass':'400','place':'WASH'}"},
        {CODE_UNIT_BAD, "{'kind':'harvest','lot':'LOT','mass':'400 lb','place':'WASH'}"},
        {CODE_DECIMAL_FINE, "{'kind':'harvest','lot':'LOT','mass':'0.0000001 kg','place':'WASH'}"},
        {CODE_DECIMAL_BAD, "{'kind':'harvest','lot':'LOT','mass':'1.5.2 kg','place':'WASH'}"},
        {CODE_FIELD_RANGE, "{'kind':'harvest','lot':'LOT','mass':'-1 kg','place':'WASH'}"},
        {CODE_FIELD_RANGE, "{'kind':'harvest','lot':'LOT','mass':'1000001000 kg','place':'WASH'}"},
        {CODE_DECIMAL_LARGE,
         "{'kind':'harvest','lot':'LOT','mass':'99999999999999999999 kg','place':'WASH'}"},
        {CODE_UNIT_BAD, "{'kind':'harvest','lot':'LOT','share':'40','mass':'1 kg','place':'WASH'}"},
        {CODE_FIELD_RANGE, "{'kind':'harvest','lot':'LOT','share':'0 %','mass':'1 "
                           "kg','place':'WASH'}"},
        {CODE_FIELD_TYPE, "{'kind':'harvest','lot':'LOT','mass':400,'place':'WASH'}"},
        {CODE_FIELD_RANGE, "{'kind':'harvest','lot':'LOT','gross':'9000000000000 kg','tare':"
                           "'-9000000000000 kg','place':'WASH'}"},
        {CODE_FIELD_RANGE, "{'kind':'harvest','lot':'LOT','gross':'10 kg','tare':'2 kg','mass':'9 "
                           "kg','place':'WASH'}"},
        {CODE_FIELD_CHOICE,
         "{'kind':'harvest','lot':'LOT','mass':'1 kg','how':'guessed','place':'WASH'}"},
        {CODE_INSTRUMENT_UNKNOWN,
         "{'kind':'harvest','lot':'LOT','mass':'1 kg','instrument':'NONE','place':'WASH'}"},
        {CODE_UNIT_BAD, "{'kind':'water','lot':'LOT','source':'WATER','litres':'1200'}"},
        {CODE_UNIT_BAD, "{'kind':'water','lot':'LOT','source':'WATER','litres':'1200 kg'}"},
        {CODE_FIELD_RANGE, "{'kind':'water','lot':'LOT','source':'WATER','litres':'-1 L'}"},
        {CODE_PLACE_UNKNOWN, "{'kind':'water','lot':'LOT','source':'WASH','litres':'1 L'}"},
        {CODE_PLACE_UNKNOWN, "{'kind':'harvest','lot':'LOT','mass':'1 kg','place':'NOWHERE'}"},
        {CODE_FIELD_MISSING, "{'kind':'harvest','lot':'LOT','place':'WASH'}"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        const char *at = strstr(bad[i].command, "LOT");
        house_refused_at(
            &h, bad[i].code,
            house_text(&h, "%.*s%s%s", (int)(at - bad[i].command), bad[i].command, growing, at + 3),
            __FILE__, (int)i);
    }
}

static void times_that_cannot_be(void **state)
{
    house_refused(&h, TIME_FUTURE,
                  house_text(&h,
                             "{'kind':'harvest','lot':'%s','mass':'1 kg','place':'WASH','at':"
                             "'%s'}",
                             growing, house_time(&h, 10)));
    const char *wash = "{'kind':'wash','inputs':[{'lot':'%s','mass':'1 kg'%s}],'place':'WASH',"
                       "'outputs':[{'role':'main'}]%s}";
    house_refused(&h, END_BEFORE_START,
                  house_text(&h, wash, harvested, "",
                             house_text(&h, ",'start':'%s','end':'%s'", house_time(&h, -1),
                                        house_time(&h, -2))));
    house_refused(
        &h, END_BEFORE_START,
        house_text(&h, wash, harvested, house_text(&h, ",'from':'%s'", house_time(&h, 1)), ""));
    house_refused(
        &h, TIME_FUTURE,
        house_text(&h, wash, harvested, house_text(&h, ",'to':'%s'", house_time(&h, 30)), ""));
    house_refused(&h, TIME_BAD, house_text(&h, wash, harvested, "", ",'start':'this morning'"));
    house_refused(&h, REASON_MISSING,
                  house_text(&h,
                             "{'kind':'harvest','lot':'%s','mass':'1 kg','place':'WASH','at':"
                             "'%s'}",
                             growing, house_time(&h, -601)));
}

static void lists_that_say_a_thing_twice(void **state)
{
    const char *wash = "{'kind':'wash','inputs':[%s],'place':'WASH','outputs':[{'role':'main'}]}";
    house_refused(&h, FIELD_RANGE, house_text(&h, wash, ""));
    house_refused(&h, FIELD_RANGE,
                  house_text(&h, wash,
                             house_text(&h, "{'lot':'%s','mass':'1 kg'},{'lot':'%s','mass':'1 kg'}",
                                        harvested, harvested)));
    house_refused(&h, FIELD_MISSING,
                  house_text(&h, wash,
                             house_text(&h, "{'lot':'%s','mass':'1 kg'},{'lot':'%s','from':'%s'}",
                                        harvested, harvested, house_time(&h, -5))));
    house_refused(&h, FIELD_TYPE, house_text(&h, wash, "'A'"));
    house_refused(&h, LOT_UNKNOWN, house_text(&h, wash, "{'lot':'NONE'}"));
    house_refused(
        &h, FIELD_RANGE,
        house_text(&h, "{'kind':'soak','lots':['%s','%s'],'place':'SOAK'}", harvested, harvested));
    house_refused(&h, FIELD_RANGE, "{'kind':'soak','lots':[],'place':'SOAK'}");
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

static void packs_that_do_not_add_up(void **state)
{
    house_take(&h,
               "{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','outputs':[{'role':'main',"
               "'mass':'390 kg'}]}",
               harvested);
    const char *washed = house_answer(&h, "lots.0.lot");
    const char *pack = "{'kind':'pack','inputs':[{'lot':'%s','mass':'25 kg'}],'item':'%s','pieces':"
                       "%s,'mean_net':'%s','place':'PACK','cases':%d,'markets':[%s]}";
    house_refused(&h, FIELD_RANGE,
                  house_text(&h, pack, washed, "MUNG250", "100", "250 g", 4, "'US'"));
    house_refused(&h, FIELD_RANGE,
                  house_text(&h, pack, washed, "MUNG250", "100", "250 g", 2, "'US'"));
    house_refused(&h, FIELD_RANGE,
                  house_text(&h, pack, washed, "MUNG250", "100", "9000000 t", 3, "'US'"));
    house_refused(&h, FIELD_RANGE,
                  house_text(&h, pack, washed, "MUNG250", "100", "0 g", 3, "'US'"));
    house_refused(&h, FIELD_RANGE,
                  house_text(&h, pack, washed, "MUNG250", "0", "250 g", 0, "'US'"));
    house_refused(&h, FIELD_CHOICE,
                  house_text(&h, pack, washed, "MUNG250", "100", "250 g", 3, "'MARS'"));
    house_refused(&h, FIELD_MISSING,
                  house_text(&h, pack, washed, "MUNG250", "100", "250 g", 3, ""));
    house_refused(&h, ITEM_UNKNOWN,
                  house_text(&h, pack, washed, "MUNG", "100", "250 g", 3, "'US'"));
    house_take(&h, pack, washed, "MUNG250", "100", "250 g", 3, "'US'");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(fields_that_nobody_knows),
        T(quantities_without_their_unit),
        T(times_that_cannot_be),
        T(lists_that_say_a_thing_twice),
        T(lot_codes_that_no_label_can_carry),
        T(packs_that_do_not_add_up),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
