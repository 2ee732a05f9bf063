/* The whole way from sacks to a customer, every balance to the milligram. */
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

enum { KG = 1000000 };

static int64_t mass_of(const char *lot)
{
    return house_balance(&h, lot, UNIT_MG);
}

/* 1 kg of seed at 10 % moisture has 0.9 kg of dry matter, of which 15 % is breathed out: 0.135 kg;
 * eight of sprouts then took 8 - 1 + 0.135 = 7.135 kg of water (derived, the profile's mass-chain).
 */
static void a_harvest_takes_its_gain_from_water_and_gives_its_breath_to_air(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    int64_t water = house_account(&h, "water", "mg");
    assert_int_equal(mass_of(growing), 100 * KG);
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'40 %%','mass':'320 kg','place':'WASH'}",
               growing);
    const char *first = house_answer(&h, "lot");
    assert_int_equal(mass_of(growing), 60 * KG);
    assert_int_equal(mass_of(first), 320 * KG);
    assert_int_equal(house_account(&h, "air", "mg"), 40 * 135000);
    assert_int_equal(water - house_account(&h, "water", "mg"), 40 * 7135000);
    assert_false(house_closed(&h, growing));
    house_take(&h, "{'kind':'harvest','chamber':'C1','mass':'490.5 kg','place':'WASH'}");
    assert_int_equal(mass_of(growing), 0);
    assert_int_equal(house_account(&h, "air", "mg"), 100 * 135000);
    assert_int_equal(water - house_account(&h, "water", "mg"),
                     (int64_t)810500000 - 100 * KG + 100 * 135000);
    assert_true(house_closed(&h, growing));
    assert_int_equal(house_deviations(&h), 0);
    house_sums(&h);
}

/* Three shares that do not divide the seed: the last takes the rest of it, to the milligram. */
static void the_last_harvest_takes_the_rest(void **state)
{
    const char *growing = house_grow(&h, "C1", "100.000001 kg");
    house_take(&h,
               "{'kind':'harvest','lot':'%s','share':'33.3333 %%','mass':'266 "
               "kg','place':'WASH'}",
               growing);
    assert_int_equal(mass_of(growing), 100000001 - 33333300);
    house_take(&h,
               "{'kind':'harvest','lot':'%s','share':'33.3333 %%','mass':'266 "
               "kg','place':'WASH'}",
               growing);
    assert_int_equal(mass_of(growing), 100000001 - 2 * 33333300);
    house_take(&h, "{'kind':'harvest','lot':'%s','mass':'267 kg','place':'WASH'}", growing);
    assert_int_equal(mass_of(growing), 0);
    assert_true(house_closed(&h, growing));
    house_sums(&h);
}

static void emptying_gives_what_was_left_to_waste(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    int64_t water = house_account(&h, "water", "mg");
    house_take(&h, "{'kind':'harvest','lot':'%s','share':'50 %%','mass':'400 kg','place':'WASH'}",
               growing);
    house_take(&h, "{'kind':'empty','chamber':'C1','mass':'390 kg'}");
    assert_int_equal(mass_of(growing), 0);
    assert_int_equal(house_account(&h, "waste", "mg"), 390 * KG);
    assert_int_equal(water - house_account(&h, "water", "mg"), 50 * 7135000 + 340 * KG);
    assert_true(house_closed(&h, growing));
    house_rule(&h, LOT_CLOSED, "lot-closed",
               house_text(&h, "{'kind':'empty','lot':'%s','mass':'1 kg'}", growing));
    house_sums(&h);
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
    assert_code(house_send(&h,
                           "{'kind':'wash','inputs':[{'lot':'%s','mass':'1 kg'}],'place':'WASH',"
                           "'outputs':[{'role':'main'},{'role':'hulls'}]}",
                           harvested),
                FIELD_MISSING);
    house_sums(&h);
}

/* Seed at 10 % moisture: 40 kg of it has 36 kg of dry matter. 320 kg at 90 % has 32, at 88 % 38.4
 * (computed here). */
static void dry_matter_cannot_grow(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_take(&h,
               "{'kind':'harvest','lot':'%s','share':'40 %%','mass':'320 kg','place':'WASH',"
               "'moisture':'90 %%'}",
               growing);
    assert_int_equal(house_deviations(&h), 0);
    house_rule(&h, DRY_MATTER_OVER, "dry-matter-above-seed",
               house_text(&h,
                          "{'kind':'harvest','lot':'%s','share':'40 %%','mass':'320 kg','place':"
                          "'WASH','moisture':'88 %%'}",
                          growing));
    house_refused(&h, FIELD_RANGE,
                  house_text(&h,
                             "{'kind':'harvest','lot':'%s','mass':'160 kg','place':'WASH',"
                             "'moisture':'101 %%'}",
                             growing));
}

static void supplier_lots_and_codes(void **state)
{
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','supplier_lot':'A7','item':'MUNGSEED',"
                   "'mass':'500 kg','place':'STORE','markets':['US','EU','US'],'sacks':20}");
    const char *first = house_answer(&h, "lot");
    assert_string_equal(house_answer(&h, "supplier_lot"), "A7");
    assert_int_equal(house_account(&h, "supplier", "mg"), -500 * KG);
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','supplier_lot':'A7','item':'MUNGSEED',"
                   "'mass':'250 kg','place':'STORE'}");
    const char *second = house_answer(&h, "lot");
    struct lot one, two;
    bool found;
    assert_ok(lot_by_code(h.store, &h.arena, first, &one, &found));
    assert_ok(lot_by_code(h.store, &h.arena, second, &two, &found));
    assert_int_equal(one.supplier_lot, two.supplier_lot);
    assert_string_equal(one.markets, "EU,US");
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','supplier_lot':'','item':'MUNGSEED',"
                   "'mass':'1 kg','place':'STORE'}");
    const char *third = house_answer(&h, "lot");
    assert_ok(lot_by_code(h.store, &h.arena, third, &two, &found));
    assert_int_not_equal(one.supplier_lot, two.supplier_lot);
    house_refused(&h, LOT_EXISTS,
                  house_text(&h,
                             "{'kind':'receive','supplier':'RADICLE','item':'MUNGSEED','mass':"
                             "'1 kg','place':'STORE','lot':'%s'}",
                             first));
    house_sums(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_harvest_takes_its_gain_from_water_and_gives_its_breath_to_air),
        T(the_last_harvest_takes_the_rest),
        T(emptying_gives_what_was_left_to_waste),
        T(every_step_balances_wet),
        T(a_step_with_a_mass_by_difference_explains_nothing),
        T(dry_matter_cannot_grow),
        T(supplier_lots_and_codes),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
