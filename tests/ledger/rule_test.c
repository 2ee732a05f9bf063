/* Every rule of the route twice: asked it is refused, told it is booked with its deviation. */
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

static const char *washed(const char *mass)
{
    house_take(&h, "%s", wash_text(harvested, mass));
    return house_answer(&h, "lots.0.lot");
}

static const char *held(const char *lot, const char *stop)
{
    house_take(&h,
               "{'kind':'hold','hold_kind':'quality','lot':'%s','stops':['%s'],'needs':'check',"
               "'reason':'warm'}",
               lot, stop);
    return house_answer(&h, "hold");
}

static void a_step_takes_its_kinds(void **state)
{
    house_rule(&h, LOT_KIND, "wrong-kind",
               house_text(&h,
                          "{'kind':'sort','inputs':[{'lot':'%s','mass':'10 kg'}],'place':'SORT',"
                          "'outputs':[{'role':'main','mass':'9.9 kg'}]}",
                          harvested));
    house_refused(&h, PLACE_KIND,
                  house_text(&h,
                             "{'kind':'wash','inputs':[{'lot':'%s','mass':'10 kg'}],'place':'SORT',"
                             "'outputs':[{'role':'main'}]}",
                             harvested));
    house_refused(&h, FIELD_CHOICE,
                  house_text(&h,
                             "{'kind':'wash','inputs':[{'lot':'%s','mass':'10 kg'}],'place':'WASH',"
                             "'outputs':[{'role':'roots'}]}",
                             harvested));
}

static void a_closed_lot_gives_nothing(void **state)
{
    washed("400 kg");
    assert_true(house_closed(&h, harvested));
    house_rule(&h, LOT_CLOSED, "lot-closed", wash_text(harvested, "5 kg"));
    /* a chamber is closed by being emptied and by nothing else */
    house_take(&h,
               "{'kind':'wash','mode':'tell','inputs':[{'lot':'%s'}],'place':'WASH','outputs':[{"
               "'role':'main'}]}",
               growing);
    assert_true(house_deviates(&h, "wrong-kind"));
    assert_int_equal(house_balance(&h, growing, UNIT_MG), 0);
    assert_false(house_closed(&h, growing));
}

static void a_hold_stops_what_it_says(void **state)
{
    const char *clean = washed("100 kg");
    held(harvested, "use");
    house_rule(&h, HELD, "held-used", wash_text(harvested, "5 kg"));
    /* what came out of it is held for the same reason */
    assert_true(house_stops(&h, house_answer(&h, "lots.0.lot"), "use"));
    held(clean, "pack");
    house_take(&h,
               "{'kind':'rinse','mode':'ask','inputs':[{'lot':'%s','mass':'10 kg'}],'place':'WASH',"
               "'outputs':[{'role':'main'}]}",
               clean);
    house_rule(&h, HELD, "held-used",
               house_text(&h,
                          "{'kind':'pack','inputs':[{'lot':'%s','mass':'10 kg'}],'item':'MUNG250',"
                          "'pieces':40,'mean_net':'250 g','place':'PACK','markets':['US']}",
                          clean));
}

static void held_and_free_are_not_mixed(void **state)
{
    const char *one = washed("100 kg"), *other = washed("100 kg");
    held(one, "mix");
    house_rule(
        &h, HELD_MIX, "held-mixed",
        house_text(&h,
                   "{'kind':'rinse','inputs':[{'lot':'%s','mass':'10 kg'},{'lot':'%s','mass':"
                   "'10 kg'}],'place':'WASH','outputs':[{'role':'main'}]}",
                   one, other));
}

/* Watering, harvesting into a held lot, cooling, moving, counting, destroying: always possible. */
static void what_a_hold_never_stops(void **state)
{
    held(growing, "use");
    house_take(&h,
               "{'kind':'water','mode':'ask','chamber':'C1','source':'WATER','litres':'1200 L'}");
    house_take(&h,
               "{'kind':'harvest','mode':'ask','lot':'%s','share':'10 %%','mass':'80 kg','place':"
               "'COLD'}",
               growing);
    const char *out = house_answer(&h, "lot");
    assert_true(house_stops(&h, out, "use"));
    house_take(&h, "{'kind':'move','mode':'ask','lot':'%s','place':'STORE'}", out);
    house_take(&h, "{'kind':'count','mode':'ask','lot':'%s','mass':'79.9 kg'}", out);
    house_take(&h,
               "{'kind':'destroy','mode':'ask','lot':'%s','mass':'10 kg','to':'compost',"
               "'reason':'warm'}",
               out);
    assert_int_equal(house_deviations(&h), 0);
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

static void a_step_balances_within_its_tolerance(void **state)
{
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

static void a_chamber_gives_what_it_can(void **state)
{
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

static void a_place_out_of_service(void **state)
{
    house_take(&h, "{'kind':'place','code':'WASH','place_kind':'wash-line','in_service':false}");
    house_rule(&h, PLACE_OUT, "place-out-of-service", wash_text(harvested, "10 kg"));
}

static void packs_keep_no_longer_than_their_item(void **state)
{
    const char *clean = washed("300 kg");
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

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_step_takes_its_kinds),
        T(a_closed_lot_gives_nothing),
        T(a_hold_stops_what_it_says),
        T(held_and_free_are_not_mixed),
        T(what_a_hold_never_stops),
        T(stock_below_zero_is_owed),
        T(a_step_balances_within_its_tolerance),
        T(a_chamber_gives_what_it_can),
        T(an_expansion_has_its_range),
        T(a_scale_past_its_calibration),
        T(a_place_out_of_service),
        T(packs_keep_no_longer_than_their_item),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
