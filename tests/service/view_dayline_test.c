/* The day by the minute as it is shown. */
#include "dayline_support.h"

#include "service/view_dayline.h"

static json_t *shown(struct house *h, int ahead, const char *lang)
{
    struct view v = view_as(h, 9, "planner");
    json_t *out;
    v.lang = lang;
    assert_ok(view_dayline(&v, (int32_t)house_day(h) + ahead, &out));
    return out;
}

static const json_t *bar_at(const json_t *stage, size_t at)
{
    const json_t *line = json_array_get(at_key(stage, "lines"), 0);
    const json_t *bar = json_array_get(at_key(line, "bars"), at);
    assert_non_null(bar);
    return bar;
}

static void lines_have_bars_and_cleans(void **state)
{
    (void)state;
    struct house h;
    dayline_open(&h);
    dayline_plan(&h);
    json_t *o = shown(&h, AHEAD, "en");
    assert_true(json_is_true(at_key(o, "known")));
    assert_true(json_is_null(at_key(o, "now_ms")));
    assert_int_equal(json_array_size(at_key(o, "jobs")), 3);
    assert_int_equal(json_array_size(at_key(o, "pauses")), 4);
    const json_t *wash = with_text(at_key(o, "stages"), "stage", "wash");
    assert_string_equal(text_at(wash, "title"), "Wash");
    assert_string_equal(text_at(bar_at(wash, 0), "kind"), "run");
    assert_string_equal(text_at(bar_at(wash, 2), "kind"), "clean");
    assert_string_equal(text_at(bar_at(wash, 3), "kind"), "change");
    assert_string_equal(text_at(bar_at(wash, 4), "chamber"), "C1");
    assert_string_equal(text_at(bar_at(wash, 4), "state"), "planned");
    assert_int_equal(number_at(wash, "clean_min"), 30);
    assert_int_equal(number_at(wash, "work_min"), 20 + 20 + 15);
    const json_t *cool = with_text(at_key(o, "stages"), "stage", "cool");
    assert_true(json_is_true(at_key(cool, "room")));
    assert_int_equal(number_at(o, "setup_min"), 35 + 30 + 40); /* wash, sort, pack */
    assert_true(number_at(o, "bound_ms") <= number_at(o, "ends_ms"));
    json_decref(o);
    house_close(&h);
}

/* 500 packs of soy for a truck that closes at ten: after the mung and the clean they are late. */
static void a_late_truck_is_said_with_what_binds(void **state)
{
    (void)state;
    struct house h;
    dayline_open(&h);
    dayline_plan(&h);
    dayline_order(&h, "1", "PLUMULA", "SOY300", AHEAD + 1, 500);
    json_t *o = shown(&h, AHEAD, "en");
    const json_t *truck = with_text(at_key(o, "trucks"), "truck", "kitchens");
    assert_string_equal(text_at(truck, "state"), "late");
    assert_string_equal(text_at(truck, "tone"), "stopped");
    assert_string_equal(text_at(truck, "binds"), "pack");
    int64_t late = -number_at(truck, "slack_min");
    assert_true(late > 0);
    assert_int_equal(number_at(o, "late_min"), late);
    dayline_says(text_at(truck, "sentence"),
                 house_text(&h,
                            "Truck kitchens is %lld min late for its cut-off at 10:00. Pack binds",
                            (long long)late));
    dayline_says(text_at(truck, "sentence"), "Cleans and change-overs take");
    dayline_says(json_string_value(json_array_get(at_key(o, "says"), 0)), "another order");
    const json_t *retail = with_text(at_key(o, "trucks"), "truck", "retail");
    assert_string_equal(text_at(retail, "state"), "nothing");
    assert_true(json_is_null(at_key(retail, "ready_ms")));
    json_decref(o);
    o = shown(&h, AHEAD, "es");
    truck = with_text(at_key(o, "trucks"), "truck", "kitchens");
    dayline_says(text_at(truck, "sentence"), "tarde a su cierre de las 10:00. Manda Envasar");
    json_decref(o);
    house_close(&h);
}

static void a_truck_in_time_and_one_whose_goods_are_there(void **state)
{
    (void)state;
    struct house h;
    dayline_open(&h);
    dayline_plan(&h);
    dayline_order(&h, "1", "COTYLEDON", "MUNG250", AHEAD + 1, 400);
    json_t *o = shown(&h, AHEAD, "en");
    const json_t *truck = with_text(at_key(o, "trucks"), "truck", "retail");
    assert_string_equal(text_at(truck, "state"), "in-time"); /* packed at 8:27, 30 to load */
    assert_int_equal(number_at(truck, "slack_min"), 11 * 60 - (8 * 60 + 27) - 30);
    const json_t *job = json_array_get(at_key(o, "jobs"), 0);
    assert_string_equal(json_string_value(json_array_get(at_key(job, "trucks"), 0)), "retail");
    json_decref(o);
    house_close(&h);
}

static size_t stops_said(struct house *h, const struct profile *p)
{
    struct view v = view_as(h, 9, "planner");
    json_t *o, *says;
    size_t i, found = 0;
    v.profile = p;
    assert_ok(view_dayline(&v, (int32_t)house_day(h), &o));
    json_array_foreach(at_key(o, "says"), i, says)
    {
        const char *text = json_string_value(says);
        found += strstr(text, "PACK stands from ") != NULL &&
                 strstr(text, "Clean it again before C3.") != NULL;
    }
    json_decref(o);
    return found;
}

/* One chamber is packed, another is ready: within two hours it may follow on the line, three hours
 * later it needs a clean before it. Lines that work day and night, so that nothing else stops them.
 */
static void a_line_that_stands_too_long_is_to_be_cleaned_again(void **state)
{
    (void)state;
    struct house h;
    dayline_open(&h);
    struct profile p = *h.lg->profile;
    p.lines.shifts = "";
    p.lines.pause_count = 0;
    const char *lot = house_grow(&h, "C2", "100 kg");
    house_grow(&h, "C3", "100 kg");
    house_wait(&h, "9 d");
    house_pack(&h, lot);
    assert_int_equal(stops_said(&h, &p), 0);
    house_wait(&h, "3 h");
    assert_int_equal(stops_said(&h, &p), 1);
    house_close(&h);
}

static void a_day_without_lines_says_so(void **state)
{
    (void)state;
    struct house h;
    dayline_open(&h);
    struct profile p = *h.lg->profile;
    struct view v = view_as(&h, 9, "planner");
    json_t *o;
    p.lines = (struct lines){.given = false};
    v.profile = &p;
    assert_ok(view_dayline(&v, (int32_t)house_day(&h), &o));
    assert_true(json_is_false(at_key(o, "known")));
    assert_int_equal(json_array_size(at_key(o, "stages")), 0);
    json_decref(o);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_have_bars_and_cleans),
        cmocka_unit_test(a_late_truck_is_said_with_what_binds),
        cmocka_unit_test(a_truck_in_time_and_one_whose_goods_are_there),
        cmocka_unit_test(a_line_that_stands_too_long_is_to_be_cleaned_again),
        cmocka_unit_test(a_day_without_lines_says_so),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
