/* A stop heard, and the good reading that it takes to run again. */
#include "water.h"

#include "ledger/water_stop.h"

static void running_again_takes_a_good_reading(void **state)
{
    const char *restart = "{'kind':'water-restart','place':'WASH','person':5}";
    house_refused(&h, WATER_RUNS, restart);
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'20 mg/L','person':5}");
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'1 mg/L','person':5}");
    house_refused(&h, WATER_RESTART, restart); /* the good one was before */
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'20 mg/L','ph':'9','person':"
                   "5}");
    house_refused(&h, WATER_RESTART, restart);
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'20 mg/L','ph':'7','person':"
                   "5}");
    house_take(&h, restart);
    assert_string_equal(house_answer(&h, "place"), "WASH");
    house_effect(&h, "task_done", 1, 1); /* those of both readings that were out */
    house_refused(&h, WATER_RUNS, restart);
    house_refused(&h, PLACE_UNKNOWN, "{'kind':'water-restart','place':'NONE','person':5}");
}

static void somebody_hears_it(void **state)
{
    house_refused(&h, WATER_RUNS, "{'kind':'stop-heard','place':'WASH','person':5}");
    int64_t stop =
        house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'1 mg/L','person':7}");
    house_take(&h, "{'kind':'stop-heard','place':'WASH','person':5}");
    assert_int_equal(house_effect(&h, "noted", 0, 6), 5);
    assert_string_equal(house_effect_text(&h, "noted", 0, 10),
                        house_text(&h, "{\"stop\":%lld}", (long long)stop));
}

/* Contact, too: at pH 7.4 the tank of 500 L brings 0.487 of 0.5 decimals (consequence_water_test).
 * What ran again begins a period of its own. */
static void running_again_takes_contact_where_it_is_asked(void **state)
{
    const char *restart = "{'kind':'water-restart','place':'WASH','person':5}";
    water_goes_round();
    house_take(&h, "{'kind':'water-segment','code':'T-1','place':'WASH','volume':'500 L','flow':"
                   "'50 L/min','baffling':'0.3','person':2}");
    water_is_read("9", "7.4", "12");
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'30 mg/L','person':5}");
    house_refused(&h, WATER_RESTART_CONTACT, restart); /* pH and temperature with it */
    house_wait(&h, "10 min");
    water_is_read("9", "7.4", "12");
    house_refused(&h, WATER_RESTART_CONTACT, restart);
    house_wait(&h, "10 min");
    water_is_read("30", "6.8", "12");
    house_take(&h, restart);
    struct water_credit c = water_credit_now("WASH");
    assert_true(c.known && !c.low);
    assert_int_equal(c.worth.giardia_milli, 1970); /* 3 x 90 / 137 */
}

static void running_again_after_a_positive_takes_a_result(void **state)
{
    const char *sample = "{'kind':'sample','what':'water','place':'WATER','volume':'100 mL',"
                         "'person':2}";
    const char *result = "{'kind':'result','sample':'%s','organism':'generic E. coli','state':'%s',"
                         "'method':'ISO 9308','person':2}";
    house_take(&h, "%s", sample);
    const char *code = arena_copy(&h.arena, house_answer(&h, "sample"));
    house_wait(&h, "1 d");
    house_take(&h, result, code, "confirmed-positive");
    house_wait(&h, "1 h");
    house_take(&h, "%s", sample);
    code = arena_copy(&h.arena, house_answer(&h, "sample"));
    house_wait(&h, "1 d");
    house_refused(&h, WATER_RESTART_RESULT, "{'kind':'water-restart','place':'WATER','person':2}");
    house_take(&h, result, code, "negative");
    house_take(&h, "{'kind':'water-restart','place':'WATER','person':2}");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(running_again_takes_a_good_reading),
        T(somebody_hears_it),
        T(running_again_takes_contact_where_it_is_asked),
        T(running_again_after_a_positive_takes_a_result),
    };
    RUN(tests);
}
