/* Packs: pieces, cases, dates, markets. */
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

static void packs_keep_no_longer_than_their_item(void **state)
{
    house_take(&h,
               "{'kind':'wash','inputs':[{'lot':'%s','mass':'300 kg'}],'place':'WASH','outputs':[{"
               "'role':'main'}]}",
               harvested);
    const char *clean = house_answer(&h, "lots.0.lot");
    const char *format = "{'kind':'pack','inputs':[{'lot':'%s','mass':'10 kg'}],'item':'MUNG250',"
                         "'pieces':40,'mean_net':'250 g','place':'PACK','markets':['US'],"
                         "'best_before':'%s'}";
    int32_t today = day_of_house(h.fixed.now_ms, 0, 240);
    house_take(&h, format, clean, day_text(&h.arena, today + 8));
    assert_int_equal(house_deviations(&h), 0);
    house_rule(&h, BEST_BEFORE_LATE, "best-before-late",
               house_text(&h, format, clean, day_text(&h.arena, today + 9)));
    house_refused(&h, FIELD_RANGE, house_text(&h, format, clean, day_text(&h.arena, today - 1)));
}

/* 22 kg of sprouts and 3 kg of dressing are a hundred dishes; dressing alone is none, nor is seed.
 */
static void a_dish_takes_ingredients_beside_its_crop(void **state)
{
    house_take(&h,
               "{'kind':'wash','inputs':[{'lot':'%s','mass':'300 kg'}],'place':'WASH','outputs':[{"
               "'role':'main'}]}",
               harvested);
    const char *clean = house_answer(&h, "lots.0.lot");
    house_take(&h, "{'kind':'item','code':'DRESSING','item_kind':'ingredient'}");
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'DRESSING','mass':'10 kg',"
                   "'instrument':'SCALE','place':'STORE'}");
    const char *dressing = house_answer(&h, "lot");
    const char *format = "{'kind':'pack','inputs':[%s{'lot':'%s','mass':'3 kg'}],'item':'MUNG250',"
                         "'pieces':100,'mean_net':'250 g','place':'PACK','markets':['US']}";
    const char *crop = house_text(&h, "{'lot':'%s','mass':'22 kg'},", clean);
    house_take(&h, format, crop, dressing);
    assert_string_equal(house_answer(&h, "mass"), "25 kg");
    assert_int_equal(house_deviations(&h), 0);
    house_refused(&h, FIELD_CHOICE, house_text(&h, format, "", dressing));
}

/* Sprouts of a second crop go in where the recipe names it, and are found again from the packs. */
static void a_dish_of_two_crops_takes_both(void **state)
{
    static struct pack_crop soy = {"SOY", 100000000};
    static struct pack_recipe recipe = {
        .item = "MUNG250", .crop = "MUNG", .crop_mg = 150000000, .with = &soy};
    struct profile own = *h.lg->profile, *before = h.lg->profile;
    (void)state;
    own.planning.recipes = &recipe;
    own.planning.recipe_count = 1;
    house_take(&h,
               "{'kind':'wash','inputs':[{'lot':'%s','mass':'300 kg'}],'place':'WASH','outputs':[{"
               "'role':'main'}]}",
               harvested);
    const char *clean = house_answer(&h, "lots.0.lot");
    house_take(&h, "{'kind':'item','code':'SOYSEED','item_kind':'seed','family':'soy'}");
    house_take(&h, "{'kind':'item','code':'SOY','item_kind':'growing','family':'soy'}");
    house_take(&h, "{'kind':'receive','supplier':'RADICLE','item':'SOYSEED','mass':'40 kg',"
                   "'instrument':'SCALE','place':'STORE'}");
    house_take(&h,
               "{'kind':'grow','mode':'tell','chamber':'C2','item':'SOY','inputs':[{'lot':'%s'}]}",
               house_answer(&h, "lot"));
    const char *bed = house_answer(&h, "lot");
    house_wait(&h, "7 d");
    house_take(&h, "{'kind':'harvest','mode':'tell','lot':'%s','mass':'200 kg','place':'WASH'}",
               bed);
    house_wait(&h, "10 min");
    house_take(&h,
               "{'kind':'wash','mode':'tell','inputs':[{'lot':'%s','mass':'50 kg'}],'place':'WASH',"
               "'outputs':[{'role':'main'}]}",
               house_answer(&h, "lot"));
    const char *other = house_answer(&h, "lots.0.lot");
    const char *pack = house_text(&h,
                                  "{'kind':'pack','inputs':[{'lot':'%s','mass':'15 kg'},{'lot':"
                                  "'%s','mass':'10 kg'}],'item':'MUNG250','pieces':100,"
                                  "'mean_net':'250 g','place':'PACK','markets':['US']}",
                                  clean, other);
    h.lg->profile = &own;
    house_refused(&h, FIELD_CHOICE, pack);
    recipe.with_count = 1;
    house_take(&h, "{'mode':'tell',%s", pack + 1);
    h.lg->profile = before;
    const char *dish = house_answer(&h, "lot");
    assert_string_equal(house_answer(&h, "mass"), "25 kg");
    int64_t mg;
    assert_string_equal(house_edge(&h, clean, dish, &mg), "measured");
    assert_int_equal(mg, 15000000);
    assert_string_equal(house_edge(&h, other, dish, &mg), "measured");
    assert_int_equal(mg, 10000000);
    house_sums(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(packs_that_do_not_add_up),
        T(packs_keep_no_longer_than_their_item),
        T(a_dish_takes_ingredients_beside_its_crop),
        T(a_dish_of_two_crops_takes_both),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
