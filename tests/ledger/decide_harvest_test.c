/* Harvest in parts, and emptying: every balance to the milligram. */
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

static void a_chamber_gives_what_it_can(void **state)
{
    const char *harvested, *growing = half_harvested(&harvested);
    house_rule(&h, SHARE_OVER, "share-over",
               house_text(&h,
                          "{'kind':'harvest','lot':'%s','share':'60 %%','mass':'400 kg','place':"
                          "'WASH'}",
                          growing));
    assert_int_equal(house_balance(&h, growing, UNIT_MG), 0);
}

/* Mung between 4 and 12 kg/kg (the profile's limit): of 10 kg of seed 40 to 120 kg. */
static void an_expansion_has_its_range(void **state)
{
    const char *harvested, *growing = half_harvested(&harvested);
    house_rule(&h, EXPANSION_OUT, "expansion-out-of-range",
               house_text(&h,
                          "{'kind':'harvest','lot':'%s','share':'10 %%','mass':'120.02 kg','place':"
                          "'WASH'}",
                          growing));
    house_take(&h,
               "{'kind':'harvest','mode':'ask','lot':'%s','share':'10 %%','mass':'120 kg','place':"
               "'WASH'}",
               growing);
    house_rule(&h, EXPANSION_OUT, "expansion-out-of-range",
               house_text(&h,
                          "{'kind':'harvest','lot':'%s','share':'10 %%','mass':'39.98 kg','place':"
                          "'WASH'}",
                          growing));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_harvest_takes_its_gain_from_water_and_gives_its_breath_to_air),
        T(the_last_harvest_takes_the_rest),
        T(emptying_gives_what_was_left_to_waste),
        T(dry_matter_cannot_grow),
        T(a_chamber_gives_what_it_can),
        T(an_expansion_has_its_range),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
