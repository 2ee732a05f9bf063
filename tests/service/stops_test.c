/* What is stopped in the house, for a screen at which nobody is signed in. */
#include "view_support.h"

#include "service/stops.h"

static json_t *stops(struct house *h)
{
    struct view v = view_as(h, 0, NULL);
    json_t *out = NULL;
    assert_ok(stops_json(&v, &out));
    return out;
}

static void reject(struct house *h)
{
    house_wait(h, "10 min");
    house_take(h, "{'kind':'metal-reject','place':'METAL','metal':'steel','what':'seen by 5',"
                  "'passes':3,'person':5}");
}

static void water_and_lines_stand_until_they_run_again(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    json_t *list = stops(&h);
    assert_int_equal(json_array_size(list), 0);
    json_decref(list);
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'1 mg/L','person':5}");
    int64_t read_ms = h.fixed.now_ms;
    reject(&h);
    list = stops(&h);
    assert_int_equal(json_array_size(list), 1); /* one reject stops nothing */
    json_decref(list);
    reject(&h);
    list = stops(&h);
    assert_int_equal(json_array_size(list), 2);
    const json_t *line = json_array_get(list, 0), *water = json_array_get(list, 1);
    assert_string_equal(text_at(line, "of"), "line"); /* the newest first */
    assert_string_equal(text_at(line, "place"), "METAL");
    assert_string_equal(text_at(line, "why"), "the detector found one metal twice");
    assert_string_equal(text_at(water, "of"), "water");
    assert_string_equal(text_at(water, "place"), "WASH");
    assert_string_equal(text_at(water, "why"), "read out of its limits");
    assert_int_equal(number_at(water, "since_ms"), read_ms);
    assert_int_equal(json_object_size(water), 4); /* and nobody's name or number */
    json_decref(list);
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'20 mg/L','person':5}");
    house_take(&h, "{'kind':'water-restart','place':'WASH','person':2}");
    list = stops(&h);
    assert_int_equal(json_array_size(list), 1);
    assert_string_equal(text_at(json_array_get(list, 0), "of"), "line");
    json_decref(list);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(water_and_lines_stand_until_they_run_again),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
