/* Amounts: with their unit, from an instrument in calibration, and what is owed. */
#include "evidence.h"
#include "stock.h"

static struct house h;
static const char *growing, *harvested; /* 100 kg of seed, 500 kg left; 400 kg of sprouts */

static int set_up(void **state)
{
    house_open(&h);
    growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "7 d");
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

enum { KG = 1000000 };

static const char *wash_text(const char *lot, const char *mass)
{
    return house_text(&h,
                      "{'kind':'wash','inputs':[{'lot':'%s','mass':'%s'}],'place':'WASH','outputs':"
                      "[{'role':'main'}]}",
                      lot, mass);
}

static void stock_below_zero_is_owed(void **state)
{
    int64_t id = house_lot(&h, harvested);
    struct statement *q;
    bool row;
    house_rule(&h, STOCK_SHORT, "stock-below-zero", wash_text(harvested, "405 kg"));
    assert_int_equal(house_balance(&h, harvested, UNIT_MG), -5 * KG);
    q = store_prepare(h.store, Q_OWED_OPEN);
    store_bind_int(q, 1, id);
    store_bind_text(q, 2, "mg");
    assert_ok(store_step(q, &row));
    assert_true(row);
    assert_ok(store_step(q, &row));
    assert_false(row);
    assert_true(house_count(&h, Q_OWED_TASKS_OPEN, id, NULL) != 0);
    assert_false(house_closed(&h, harvested)); /* it is not settled */
}

static void a_scale_past_its_calibration(void **state)
{
    house_take(&h, "{'kind':'instrument','code':'OLD','instrument_kind':'scale','division':1000,"
                   "'uncertainty':1000,'due':'2026-03-03T00:00:00Z'}");
    house_rule(
        &h, INSTRUMENT_OVERDUE, "calibration-overdue",
        house_text(&h,
                   "{'kind':'harvest','lot':'%s','share':'10 %%','mass':'80 kg','instrument':"
                   "'OLD','place':'WASH'}",
                   growing));
    /* told of a day on which it was still good */
    house_take(
        &h, "{'kind':'receive','mode':'ask','supplier':'RADICLE','item':'MUNGSEED','mass':'1 kg',"
            "'instrument':'OLD','place':'STORE','at':'2026-03-02T12:00:00Z','reason':'found the "
            "note'}");
    house_take(&h, "{'kind':'calibrate','instrument':'OLD','as_found_error':'0','uncertainty':1000,"
                   "'due':'2027-03-03T00:00:00Z','ok':true}");
    house_take(
        &h, "{'kind':'receive','mode':'ask','supplier':'RADICLE','item':'MUNGSEED','mass':'1 kg',"
            "'instrument':'OLD','place':'STORE'}");
    /* the new calibration does not speak of the days before it */
    house_rule(
        &h, INSTRUMENT_OVERDUE, "calibration-overdue",
        "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'1 kg','instrument':"
        "'OLD','place':'STORE','at':'2026-03-04T12:00:00Z','reason':'found the note'}");
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

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(stock_below_zero_is_owed),
        T(a_scale_past_its_calibration),
        T(quantities_without_their_unit),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
