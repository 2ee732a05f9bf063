/* Washing, sorting, packing: what comes out against what went in. */
#include "stock.h"

static struct house h;

static int set_up(void **state)
{
    house_open(&h);
    return 0;
}

static int tear_down(void **state)
{
    house_close(&h);
    return 0;
}

/* Half of 100 kg of seed harvested as 400 kg: -> the growing lot; the other in *out. */
static const char *half_harvested(const char **out)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'50 %%','mass':'400 kg','place':'WASH'}",
               growing);
    *out = house_answer(&h, "lot");
    house_wait(&h, "10 min");
    return growing;
}

enum { KG = 1000000 };

static int64_t mass_of(const char *lot)
{
    return house_balance(&h, lot, UNIT_MG);
}

/* 320 kg washed, sorted, packed: each step's difference on the account its profile gives it. */
static void every_step_balances_wet(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'40 %%','mass':'320 kg','place':'WASH'}",
               growing);
    const char *harvested = house_answer(&h, "lot");
    int64_t water = house_account(&h, "water", "mg");
    house_take(&h,
               "{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','outputs':[{'role':'main',"
               "'mass':'300 kg'},{'role':'hulls','gross':'20 kg','tare':'2 kg'}]}",
               harvested);
    const char *washed = house_answer(&h, "lots.0.lot"), *hulls = house_answer(&h, "lots.1.lot");
    assert_int_equal(mass_of(hulls), 18 * KG);
    assert_int_equal(house_account(&h, "water", "mg") - water, 2 * KG);
    assert_true(house_closed(&h, harvested));
    house_take(&h,
               "{'kind':'sort','inputs':[{'lot':'%s'}],'place':'SORT','outputs':[{'role':'main',"
               "'mass':'288 kg'},{'role':'culls','mass':'9 kg'}]}",
               washed);
    const char *sorted = house_answer(&h, "lots.0.lot");
    assert_int_equal(house_account(&h, "unexplained", "mg"), 3 * KG);
    house_take(&h,
               "{'kind':'pack','inputs':[{'lot':'%s'}],'item':'MUNG250','pieces':1140,'mean_net':"
               "'252 g','cases':29,'place':'PACK','markets':['US']}",
               sorted);
    const char *packed = house_answer(&h, "lot");
    assert_string_equal(house_answer(&h, "giveaway"), "2.28 kg");
    assert_int_equal(mass_of(packed), 1140 * 252000);
    assert_int_equal(house_balance(&h, packed, UNIT_PIECES), 1140);
    assert_int_equal(house_account(&h, "made", "pc"), -1140);
    assert_int_equal(house_account(&h, "unexplained", "mg"), 3 * KG + 720000);
    struct unit unit;
    bool found;
    assert_ok(unit_by_code(h.store, &h.arena, house_text(&h, "%s-0029", packed), &unit, &found));
    assert_true(found);
    assert_int_equal(unit.pieces, 20);
    assert_int_equal(unit.mg, 20 * 252000);
    assert_int_equal(house_deviations(&h), 0);
    house_sums(&h);
}

/* What is not weighed explains nothing: its rest is waste and not "unexplained". */
static void a_step_with_a_mass_by_difference_explains_nothing(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_take(&h, "{'kind':'harvest','lot':'%s','mass':'800 kg','how':'standard','place':'WASH'}",
               growing);
    const char *harvested = house_answer(&h, "lot");
    house_take(&h,
               "{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','outputs':[{'role':'main'},"
               "{'role':'hulls','mass':'40 kg'}]}",
               harvested);
    const char *washed = house_answer(&h, "lots.0.lot");
    assert_int_equal(mass_of(washed), 760 * KG);
    int64_t waste = house_account(&h, "waste", "mg");
    house_take(&h,
               "{'kind':'sort','inputs':[{'lot':'%s'}],'place':'SORT','outputs':[{'role':'main',"
               "'mass':'750 kg'},{'role':'culls','mass':'5 kg'}]}",
               washed);
    assert_int_equal(house_account(&h, "unexplained", "mg"), 0);
    assert_int_equal(house_account(&h, "waste", "mg") - waste, 5 * KG);
    /* weighed goods in, and still one output that nobody weighed */
    house_take(&h,
               "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':'100 kg','place':"
               "'STORE'}");
    house_take(&h,
               "{'kind':'sort','inputs':[{'lot':'%s'}],'place':'SORT','outputs':[{'role':'main'},{"
               "'role':'culls','mass':'101 kg'}]}",
               house_answer(&h, "lot"));
    assert_int_equal(house_account(&h, "unexplained", "mg"), 0);
    assert_code(house_send(&h,
                           "{'kind':'wash','inputs':[{'lot':'%s','mass':'1 kg'}],'place':'WASH',"
                           "'outputs':[{'role':'main'},{'role':'hulls'}]}",
                           harvested),
                FIELD_MISSING);
    house_sums(&h);
}

static void a_step_balances_within_its_tolerance(void **state)
{
    const char *harvested;
    half_harvested(&harvested);
    /* 6 % of 100 kg */
    house_take(&h,
               "{'kind':'wash','mode':'ask','inputs':[{'lot':'%s','mass':'100 kg'}],'place':'WASH',"
               "'outputs':[{'role':'main','mass':'94 kg'}]}",
               harvested);
    house_rule(&h, NOT_BALANCED, "balance-out-of-tolerance",
               house_text(&h,
                          "{'kind':'wash','inputs':[{'lot':'%s','mass':'100 kg'}],'place':'WASH',"
                          "'outputs':[{'role':'main','mass':'93.999999 kg'}]}",
                          harvested));
    house_rule(&h, YIELD_OUT, "yield-out-of-range",
               house_text(&h,
                          "{'kind':'wash','inputs':[{'lot':'%s','mass':'100 kg'}],'place':'WASH',"
                          "'outputs':[{'role':'main','mass':'79 kg'},{'role':'hulls','mass':'20 "
                          "kg'}]}",
                          harvested));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(every_step_balances_wet),
        T(a_step_with_a_mass_by_difference_explains_nothing),
        T(a_step_balances_within_its_tolerance),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
