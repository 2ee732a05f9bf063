/* What met a water that was read out of its limits is held: from the last good reading before to
 * the first after. The profile's chlorine: 2 to 100 mg/L; pH 6 to 7.5. */
#include "water.h"

#include "ledger/water_hold.h"

static void read_water(const char *what, int minutes)
{
    house_take(&h, "{'kind':'water-reading','place':'WASH',%s,'at':'%s','reason':'-','person':5}",
               what, house_time(&h, minutes));
}

/* 20 kg of the harvest washed at a moment: -> what came of it. */
static const char *wash(const char *harvested, int minutes)
{
    house_take(&h,
               "{'kind':'wash','inputs':[{'lot':'%s','mass':'20 kg'}],'place':'WASH','outputs':[{"
               "'role':'main','mass':'19 kg'},{'role':'hulls','mass':'1 kg'}],'start':'%s','end':"
               "'%s','at':'%s','person':5}",
               harvested, house_time(&h, minutes), house_time(&h, minutes + 1),
               house_time(&h, minutes + 1));
    return arena_copy(&h.arena, house_answer(&h, "lots.0.lot"));
}

/* Of what came off the wash line by the last reading: the main output, its hulls beside it. */
static void assert_held_alone(const char *washed)
{
    const json_t *lots = json_object_get(h.answer, "lots");
    assert_int_equal(json_array_size(lots), 2);
    assert_true(strcmp(json_string_value(json_array_get(lots, 0)), washed) == 0 ||
                strcmp(json_string_value(json_array_get(lots, 1)), washed) == 0);
    assert_true(house_held(&h, washed, "quality"));
}

static const char *harvest(void)
{
    const char *growing = house_grow(&h, "C1", "100 kg");
    house_wait(&h, "7 d");
    house_take(&h, "{'kind':'harvest','lot':'%s','mass':'800 kg','place':'WASH','person':5}",
               growing);
    const char *lot = arena_copy(&h.arena, house_answer(&h, "lot"));
    house_wait(&h, "2 h");
    return lot;
}

static void what_was_washed_since_the_last_good_reading_is_held(void **state)
{
    const char *harvested = harvest();
    read_water("'chlorine':'20 mg/L','ph':'6.8'", -60);
    const char *before = wash(harvested, -70), *since = wash(harvested, -50);
    read_water("'ph':'6.9'", -40); /* says nothing of chlorine */
    read_water("'chlorine':'1 mg/L','ph':'6.8'", -30);
    assert_held_alone(since);
    assert_false(house_held(&h, before, "quality"));
    house_window(&h, "check-outside", h.fixed.now_ms - 60 * 60000, 0, 30);
    /* washed against the stop, it is held by the next reading, and nothing else is once more */
    const char *against = wash(harvested, -20);
    read_water("'chlorine':'1 mg/L'", -10);
    assert_held_alone(against);
}

/* Told late: what came after the next good reading of what was out is free. */
static void up_to_the_next_good_reading(void **state)
{
    const char *harvested = harvest();
    read_water("'chlorine':'20 mg/L'", -60);
    read_water("'ph':'6.8'", -35);
    read_water("'chlorine':'22 mg/L'", -30);
    const char *between = wash(harvested, -40), *after_ph = wash(harvested, -33),
               *after = wash(harvested, -20);
    read_water("'chlorine':'1 mg/L'", -50);
    assert_true(house_held(&h, between, "quality"));
    assert_true(house_held(&h, after_ph, "quality"));
    assert_false(house_held(&h, after, "quality"));
}

static void never_read_before_reaches_back_to_the_beginning(void **state)
{
    const char *harvested = harvest(), *washed = wash(harvested, -90);
    read_water("'chlorine':'30 mg/L'", -80);
    read_water("'chlorine':'30 mg/L','ph':'7.6'", -10); /* pH for the first time */
    assert_true(house_held(&h, washed, "quality"));
}

/* Not known to be good, but outside of nothing: the clause on water waits, nothing is held. */
static void a_reading_of_an_old_instrument_holds_nothing(void **state)
{
    const char *harvested = harvest();
    house_take(&h, "{'kind':'instrument','code':'CL-OLD','instrument_kind':'chlorine-meter',"
                   "'division':1,'uncertainty':1,'due':'2026-03-02T05:00:00Z'}");
    const char *washed = wash(harvested, -50);
    read_water("'chlorine':'20 mg/L','instrument':'CL-OLD'", -40);
    assert_null(json_object_get(h.answer, "holds"));
    assert_false(house_held(&h, washed, "quality"));
}

/* Of a supply: what was watered with it. */
static void what_was_watered_is_held(void **state)
{
    const char *growing = house_grow(&h, "C1", "100 kg"), *other = house_grow(&h, "C2", "100 kg");
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'water-reading','place':'WATER','chlorine':'20 mg/L','person':4}");
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'water','chamber':'C1','source':'WATER','litres':'900 L','person':4}");
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'water-reading','place':'WATER','chlorine':'1 mg/L','person':4}");
    assert_true(house_held(&h, growing, "quality"));
    assert_false(house_held(&h, other, "quality"));
}

/* Temperature and redox potential are held against limits where the profile has them. */
static void by_every_limit_that_the_profile_has(void **state)
{
    static const char mark[] = "\"limits\": [",
                      more[] = "{\"limit\": \"wash-temp\", \"high\": \"12\", \"unit\": \"C\", "
                               "\"source\": \"house-practice\"}, {\"limit\": \"wash-orp\", "
                               "\"low\": \"650\", \"unit\": \"mV\", \"source\": "
                               "\"house-practice\"},";
    static const char *const bad[] = {"'temp':'12.1 C'", "'orp':'649 mV'"};
    const char *harvested = harvest();
    read_water("'orp':'10 mV','temp':'40 C'", -70); /* none is asked */
    assert_int_equal(house_deviations(&h), 0);
    const char *text = h.lg->profile->text, *at = strstr(text, mark) + strlen(mark);
    text = arena_printf(&h.arena, "%.*s%s%s", (int)(at - text), text, more, at);
    assert_ok(house_send_json(
        &h, json_pack("{s:s,s:s,s:i}", "kind", "profile", "text", text, "person", 2)));
    house_wait(&h, "2 h");
    for (int i = 0; i < 2; i++) {
        read_water("'chlorine':'20 mg/L','temp':'12 C','orp':'650 mV'", -60 + i * 30);
        const char *washed = wash(harvested, -50 + i * 30);
        read_water(bad[i], -40 + i * 30);
        assert_held_alone(washed);
        read_water("'chlorine':'20 mg/L','temp':'12 C','orp':'650 mV'", -35 + i * 30);
        house_take(&h, "{'kind':'water-restart','place':'WASH','person':2}");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(what_was_washed_since_the_last_good_reading_is_held),
        T(up_to_the_next_good_reading),
        T(never_read_before_reaches_back_to_the_beginning),
        T(a_reading_of_an_old_instrument_holds_nothing),
        T(what_was_watered_is_held),
        T(by_every_limit_that_the_profile_has),
    };
    RUN(tests);
}
