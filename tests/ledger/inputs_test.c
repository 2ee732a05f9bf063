/* What goes into a step: its kind, its holds, its times, and each lot once. */
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

static void a_place_out_of_service(void **state)
{
    house_take(&h, "{'kind':'place','code':'WASH','place_kind':'wash-line','in_service':false}");
    house_rule(&h, PLACE_OUT, "place-out-of-service", wash_text(harvested, "10 kg"));
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

int main(void)
{
    const struct CMUnitTest tests[] = {
#define T(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
        T(a_step_takes_its_kinds),    T(a_closed_lot_gives_nothing),
        T(a_hold_stops_what_it_says), T(held_and_free_are_not_mixed),
        T(what_a_hold_never_stops),   T(a_place_out_of_service),
        T(times_that_cannot_be),      T(lists_that_say_a_thing_twice),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
