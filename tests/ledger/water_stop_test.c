/* Water that is stopped: who is told, what it stops, and what does not stop it. */
#include "water.h"

#include "ledger/water_stop.h"

static bool stopped(const char *place, struct listed *out)
{
    bool found;
    assert_ok(water_stop_at(h.store, &h.arena, place, out, &found));
    return found;
}

static void a_reading_that_is_out_stops_it(void **state)
{
    struct listed stop;
    assert_false(stopped("WASH", &stop));
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'1 mg/L','person':5}");
    assert_string_equal(house_answer(&h, "stopped"), "WASH");
    assert_true(stopped("WASH", &stop));
    assert_string_equal(listed_text(&stop, "why"), "reading");
    assert_string_equal(listed_text(&stop, "told"), "line,hygiene,quality"); /* of the profile */
    int64_t first = stop.entry;
    listed_free(&stop, 1);
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'1 mg/L','person':5}");
    assert_true(stopped("WASH", &stop));
    assert_int_equal(stop.entry, first); /* the one that stands */
    listed_free(&stop, 1);
}

static void told_late_it_does_not_stop_what_is_good_by_now(void **state)
{
    struct listed stop;
    house_wait(&h, "2 h");
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'20 mg/L','person':5}");
    house_take(&h,
               "{'kind':'water-reading','place':'WASH','chlorine':'1 mg/L','at':'%s','person':5}",
               house_time(&h, -60));
    assert_true(house_deviates(&h, "check-outside"));
    assert_false(stopped("WASH", &stop));
}

static void nothing_is_watered_with_it(void **state)
{
    house_grow(&h, "C1", "100 kg");
    house_take(&h, "{'kind':'water-reading','place':'WATER','chlorine':'1 mg/L','person':4}");
    house_wait(&h, "10 min");
    house_rule(&h, WATER_STOPPED, "water-stopped", /* told, it is booked with that */
               "{'kind':'water','chamber':'C1','source':'WATER','litres':'900 L','person':4}");
    house_take(&h,
               "{'kind':'water','chamber':'C1','source':'WATER','litres':'900 L','at':'%s',"
               "'person':4}",
               house_time(&h, -20));
    assert_int_equal(house_deviations(&h), 0); /* before the stop */
}

static void a_positive_in_the_water_stops_it(void **state)
{
    struct listed stop;
    house_take(&h, "{'kind':'sample','what':'water','place':'WATER','volume':'100 mL','person':2}");
    const char *sample = arena_copy(&h.arena, house_answer(&h, "sample"));
    house_wait(&h, "1 d");
    house_take(&h,
               "{'kind':'result','sample':'%s','organism':'generic E. coli','state':"
               "'confirmed-positive','method':'ISO 9308','person':2}",
               sample);
    assert_true(stopped("WATER", &stop));
    assert_string_equal(listed_text(&stop, "why"), "result");
    listed_free(&stop, 1);
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'water-reading','place':'WATER','chlorine':'20 mg/L','person':4}");
    house_refused(&h, WATER_RESTART_RESULT, "{'kind':'water-restart','place':'WATER','person':2}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(a_reading_that_is_out_stops_it),
        T(told_late_it_does_not_stop_what_is_good_by_now),
        T(nothing_is_watered_with_it),
        T(a_positive_in_the_water_stops_it),
    };
    RUN(tests);
}
