/* What goes round, as the page of water has it. */
#include "view_support.h"

#include "service/view_calendar.h"

static json_t *waters(struct house *h)
{
    struct view v = view_as(h, 2, "quality");
    json_t *out;
    int32_t day = (int32_t)house_day(h);
    assert_ok(view_waters(&v, day - 2, day, &out));
    return out;
}

static void go_round(struct house *h)
{
    house_take(h, "{'kind':'water-loop','place':'WASH','rule':'recycled','volume':'2000 L',"
                  "'measure':'solids','fresh':'0 mg/L','change_every':'1 d','person':2}");
    house_take(h, "{'kind':'water-segment','code':'T-1','place':'WASH','volume':'500 L','flow':"
                  "'50 L/min','baffling':'0.3','person':2}");
}

static void read_it(struct house *h, const char *ph)
{
    house_take(h,
               "{'kind':'water-reading','place':'WASH','chlorine':'9 mg/L','ph':'%s','temp':"
               "'12 C','person':5}",
               ph);
}

/* 0.591 by 3 x 27 / 137, 0.487 by 3 x 27 / 166 (tests/ledger/consequence_water_test.c). */
static void contact_by_period_and_tank(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    json_t *o = waters(&h);
    assert_int_equal(json_array_size(at_key(o, "loops")), 0);
    json_decref(o);
    go_round(&h);
    read_it(&h, "6.8");
    house_wait(&h, "1 d");
    read_it(&h, "7.4");
    o = waters(&h);
    const json_t *loop = json_array_get(at_key(o, "loops"), 0);
    assert_string_equal(text_at(loop, "place"), "WASH");
    assert_string_equal(text_at(loop, "rule"), "recycled water");
    const json_t *periods = at_key(loop, "periods");
    assert_int_equal(json_array_size(periods), 2);
    assert_int_equal(number_at(json_array_get(periods, 0), "giardia"), 591);
    assert_true(json_is_false(at_key(json_array_get(periods, 0), "low")));
    const json_t *contact = at_key(loop, "contact");
    assert_int_equal(number_at(contact, "giardia"), 487);
    assert_int_equal(number_at(contact, "giardia_asked"), 500);
    assert_int_equal(number_at(contact, "virus_asked"), 2000);
    assert_true(json_is_true(at_key(contact, "low")));
    const json_t *tank = json_array_get(at_key(contact, "segments"), 0);
    assert_string_equal(text_at(tank, "code"), "T-1");
    assert_int_equal(number_at(tank, "t10_ms"), 180000);
    assert_int_equal(number_at(tank, "giardia"), 487);
    const json_t *ph = with_text(at_key(contact, "worst"), "kind", "ph");
    assert_int_equal(number_at(ph, "value"), 7400);
    assert_true(json_is_null(at_key(with_text(at_key(contact, "worst"), "kind", "flow"), "value")));
    const json_t *stop = json_array_get(at_key(o, "stops"), 0);
    assert_string_equal(text_at(stop, "place"), "WASH");
    assert_string_equal(text_at(stop, "why"), "too little contact with its disinfectant");
    assert_true(json_is_null(at_key(stop, "heard_ms")));
    json_decref(o);
    house_take(&h, "{'kind':'stop-heard','place':'WASH','person':5}");
    o = waters(&h);
    stop = json_array_get(at_key(o, "stops"), 0);
    assert_int_equal(number_at(stop, "heard_by"), 5);
    json_decref(o);
    house_close(&h);
}

static void read_solids(struct house *h, const char *solids)
{
    house_take(h,
               "{'kind':'water-reading','place':'WASH','solids':'%s mg/L','make_up':'0 L/h',"
               "'person':5}",
               solids);
}

static void what_gathers_and_when_it_passes(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    go_round(&h);
    int64_t begin_ms = h.fixed.now_ms;
    read_solids(&h, "100");
    json_t *o = waters(&h);
    const json_t *b = at_key(json_array_get(at_key(o, "loops"), 0), "balance");
    assert_true(json_is_false(at_key(b, "known")));
    assert_int_equal(json_array_size(at_key(b, "forecast")), 0);
    json_decref(o);
    house_wait(&h, "1 h");
    read_solids(&h, "140");
    o = waters(&h);
    b = at_key(json_array_get(at_key(o, "loops"), 0), "balance");
    assert_string_equal(text_at(b, "measure"), "solids");
    assert_int_equal(number_at(b, "limit"), 300000);
    assert_string_equal(text_at(b, "reach"), "reaches");
    /* 40 an hour: 160 more in four hours */
    int64_t reach_ms = number_at(b, "reach_ms");
    assert_in_range(reach_ms, begin_ms + 5 * HOUR_MS - 1000, begin_ms + 5 * HOUR_MS);
    assert_int_equal(number_at(b, "change_by_ms"), reach_ms);
    assert_int_equal(number_at(b, "next_change_ms"), begin_ms + DAY_MS);
    assert_true(json_is_true(at_key(b, "due")));
    assert_true(json_is_null(at_key(b, "steady")));
    const json_t *forecast = at_key(b, "forecast");
    assert_int_equal(number_at(json_array_get(forecast, 0), "value"), 140000);
    const json_t *end = json_array_get(forecast, json_array_size(forecast) - 1);
    assert_in_range(number_at(end, "value"), 1059000, 1060100); /* 140 + 23 x 40 */
    assert_int_equal(json_array_size(at_key(b, "readings")), 2);
    json_decref(o);
    house_close(&h);
}

static void duties_of_water_come_next(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'duty','code':'WELL','title':'Look at the well','duty_kind':'water',"
                   "'every':'30 d','role':'quality','source':'plan','person':7}");
    house_take(&h, "{'kind':'duty','code':'PEST','title':'Traps','duty_kind':'pest',"
                   "'every':'30 d','role':'quality','source':'plan','person':7}");
    json_t *o = waters(&h);
    assert_int_equal(json_array_size(at_key(o, "duties")), 1);
    assert_string_equal(text_at(json_array_get(at_key(o, "duties"), 0), "code"), "WELL");
    json_decref(o);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(contact_by_period_and_tank),
        cmocka_unit_test(what_gathers_and_when_it_passes),
        cmocka_unit_test(duties_of_water_come_next),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
