/* What a reading makes known of the contact that the water of its period had: booked, stopped,
 * held. */
#include "water.h"

#define LOW_TANK                                                                              \
    "{'kind':'water-segment','code':'T-1','place':'WASH','volume':'500 L','flow':'50 L/min'," \
    "'baffling':'0.3','person':2}"

static void too_little_contact_stops_the_water_and_holds_what_it_met(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    water_goes_round();
    house_take(&h, LOW_TANK);
    house_wait(&h, "10 d");
    water_is_read("9", "6.8", "12");
    house_take(&h,
               "{'kind':'harvest','lot':'%s','mass':'800 kg','instrument':'SCALE','place':'WASH'}",
               growing);
    const char *harvested = arena_copy(&h.arena, house_answer(&h, "lot"));
    house_take(&h,
               "{'kind':'wash','inputs':[{'lot':'%s'}],'place':'WASH','outputs':[{'role':'main',"
               "'mass':'780 kg','instrument':'SCALE'},{'role':'hulls','mass':'40 kg',"
               "'instrument':'SCALE'}]}",
               harvested);
    const char *washed = arena_copy(&h.arena, house_answer(&h, "lots.0.lot"));
    assert_false(house_stops(&h, washed, "pack")); /* the laboratory's hold does not */
    house_wait(&h, "1 h");
    int64_t told = water_is_read("9", "7.4", "12");
    assert_int_equal(house_deviations(&h), 0); /* no limit is broken */
    struct entry e = house_entry(&h, "water-contact");
    assert_int_equal(e.cause, told);
    assert_non_null(strstr(e.body, "water-contact-low"));
    assert_non_null(strstr(e.body, washed));
    assert_true(house_stops(&h, washed, "pack"));
    assert_false(house_stops(&h, growing, "pack")); /* it was not washed */
}

/* 3 min x 9 mg/L = 27; pH 7 (of 6.8), row 3.0, 10 C: 137; 0.591. At pH 7.4 165 (166): 0.487. */
static void booked_once_a_period(void **state)
{
    water_goes_round();
    house_take(&h, LOW_TANK);
    int64_t good = water_is_read("9", "6.8", "12");
    assert_int_equal(h.lg->next_seq, good + 1);
    house_wait(&h, "1 h");
    int64_t low = water_is_read("9", "7.4", "12");
    assert_int_equal(h.lg->next_seq, low + 2);
    struct entry e = house_entry(&h, "water-contact");
    assert_int_equal(e.cause, low);
    assert_non_null(strstr(e.body, "Giardia 0.487 (0.5)"));
    assert_non_null(strstr(e.body, "\"water-stop\""));
    house_wait(&h, "1 h");
    int64_t again = water_is_read("9", "7.4", "12"); /* known already */
    assert_int_equal(h.lg->next_seq, again + 1);
    house_wait(&h, "1 d");
    low = water_is_read("9", "7.4", "12");
    assert_int_equal(h.lg->next_seq, low + 2);
}

static void struck_with_the_reading_it_follows_from(void **state)
{
    water_goes_round();
    house_take(&h, LOW_TANK);
    int64_t low = water_is_read("9", "7.4", "12");
    house_rule(&h, WATER_STOPPED, "water-stopped",
               "{'kind':'run-start','place':'WASH','family':'mung','carry_over':'90 s','person':"
               "5}");
    house_take(&h, "{'kind':'strike','entry':%lld,'reason':'the pH meter was dry','person':2}",
               (long long)low);
    house_refused(&h, WATER_RUNS, "{'kind':'water-restart','place':'WASH','person':2}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(too_little_contact_stops_the_water_and_holds_what_it_met),
        T(booked_once_a_period),
        T(struck_with_the_reading_it_follows_from),
    };
    RUN(tests);
}
