/* Water over days: what was read, against which limit, with product in it or not. */
#include "view_support.h"

#include "service/view_calendar.h"

static json_t *waters(struct house *h, int back)
{
    struct view v = view_as(h, 2, "quality");
    json_t *out;
    int32_t day = (int32_t)house_day(h);
    assert_ok(view_waters(&v, day - back, day, &out));
    return out;
}

static void readings_stand_by_place_and_quantity(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    int64_t first_ms = h.fixed.now_ms;
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'12 mg/L','ph':'6.8',"
                   "'temp':'11 C','person':5}");
    house_wait(&h, "1 h");
    int64_t bad =
        house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'1.5 mg/L','person':5}");
    json_t *o = waters(&h, 0);
    assert_int_equal(json_array_size(at_key(o, "places")), 1);
    const json_t *place = json_array_get(at_key(o, "places"), 0);
    assert_string_equal(text_at(place, "place"), "WASH");
    assert_int_equal(json_array_size(at_key(place, "series")), 3);
    const json_t *chlorine = with_text(at_key(place, "series"), "kind", "chlorine");
    assert_int_equal(number_at(chlorine, "low"), 2000); /* the profile's, in thousandths */
    assert_int_equal(number_at(chlorine, "high"), 100000);
    assert_true(strlen(text_at(chlorine, "source")) > 0);
    const json_t *readings = at_key(chlorine, "readings");
    assert_int_equal(json_array_size(readings), 2);
    const json_t *good = json_array_get(readings, 0), *low = json_array_get(readings, 1);
    assert_int_equal(number_at(good, "value"), 12000);
    assert_int_equal(number_at(good, "at_ms"), first_ms);
    assert_true(json_is_true(at_key(good, "ok")));
    assert_int_equal(number_at(low, "value"), 1500);
    assert_int_equal(number_at(low, "entry"), bad);
    assert_true(json_is_false(at_key(low, "ok")));
    const json_t *ph = with_text(at_key(place, "series"), "kind", "ph");
    assert_int_equal(number_at(ph, "low"), 6000);
    assert_int_equal(number_at(ph, "high"), 7500);
    assert_int_equal(number_at(json_array_get(at_key(ph, "readings"), 0), "value"), 6800);
    const json_t *temp = with_text(at_key(place, "series"), "kind", "temp");
    assert_int_equal(number_at(json_array_get(at_key(temp, "readings"), 0), "value"), 11000);
    json_decref(o);
    house_wait(&h, "2 d");
    o = waters(&h, 0);
    assert_int_equal(json_array_size(at_key(o, "places")), 0); /* of an earlier day */
    json_decref(o);
    o = waters(&h, 2);
    assert_int_equal(json_array_size(at_key(o, "places")), 1);
    json_decref(o);
    house_close(&h);
}

static void what_was_in_the_water_and_what_the_laboratory_said(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_batch(&h, "C1", false);
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'12 mg/L','person':5}");
    house_take(&h, "{'kind':'sample','place':'WATER','what':'water','person':2}");
    const char *sample = arena_copy(&h.arena, house_answer(&h, "sample"));
    json_t *o = waters(&h, 20);
    const json_t *wash = with_text(at_key(o, "places"), "place", "WASH");
    assert_non_null(wash);
    assert_true(json_array_size(at_key(wash, "product")) >= 1);
    const json_t *washed = json_array_get(at_key(wash, "product"), 0);
    assert_true(number_at(washed, "from_ms") <= number_at(washed, "to_ms"));
    const json_t *system = with_text(at_key(o, "systems"), "place", "WATER");
    assert_non_null(system);
    const json_t *result = with_text(at_key(system, "results"), "sample", sample);
    assert_non_null(result);
    assert_string_equal(text_at(result, "state"), "waiting");
    assert_true(json_is_null(at_key(result, "organism")));
    json_decref(o);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readings_stand_by_place_and_quantity),
        cmocka_unit_test(what_was_in_the_water_and_what_the_laboratory_said),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
