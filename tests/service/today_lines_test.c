/* Trucks on Today: those that will be late, for those who can do something about it. */
#include "dayline_support.h"

#include "todays.h"

static json_t *lines_for(struct house *h, const char *role)
{
    return todays_lines_in(h, 9, role, "en", AHEAD);
}

/* Soy for a truck that closes at ten is packed after the mung and the clean (see dayline_test.c).
 */
static void a_late_truck_is_told_with_its_cut_off(void **state)
{
    (void)state;
    struct house h;
    dayline_open(&h);
    dayline_plan(&h);
    dayline_order(&h, "1", "PLUMULA", "SOY300", AHEAD + 1, 500);
    dayline_order(&h, "2", "COTYLEDON", "MUNG250", AHEAD + 1, 400); /* in time */
    json_t *lines = lines_for(&h, "planner");
    const json_t *line = with_text(lines, "what", "truck");
    assert_non_null(line);
    assert_string_equal(text_at(line, "key"), "truck:kitchens");
    dayline_says(text_at(line, "sentence"), "late for its cut-off at 10:00. Pack binds");
    assert_string_equal(text_at(line, "tone"), "due");
    assert_string_equal(text_at(at_key(line, "go"), "page"), "lines");
    assert_int_equal(number_at(line, "by_ms"),
                     HOUSE_START_MS + AHEAD * (int64_t)DAY_MS + 6 * (int64_t)HOUR_MS);
    size_t i, count = 0;
    json_t *one;
    json_array_foreach(lines, i, one)
    {
        count += strcmp(text_at(one, "what"), "truck") == 0;
    }
    assert_int_equal(count, 1);
    json_decref(lines);
    lines = lines_for(&h, "quality");
    assert_null(with_text(lines, "what", "truck")); /* not theirs */
    json_decref(lines);
    house_close(&h);
}

/* Mung packed at 8:27 and loaded by 8:57: an hour and three minutes before ten are enough, an
 * order for both chambers (packed at 9:26 after a break) is not. */
static void a_tight_truck_is_told_too(void **state)
{
    (void)state;
    struct house h;
    dayline_open(&h);
    dayline_plan(&h);
    dayline_order(&h, "1", "PLUMULA", "MUNG250", AHEAD + 1, 400);
    json_t *lines = lines_for(&h, "planner");
    assert_null(with_text(lines, "what", "truck"));
    json_decref(lines);
    dayline_order(&h, "2", "PLUMULA", "MUNG250", AHEAD + 1, 3000);
    lines = lines_for(&h, "planner");
    const json_t *line = with_text(lines, "what", "truck");
    assert_non_null(line);
    dayline_says(text_at(line, "sentence"), "that is tight");
    assert_string_equal(text_at(line, "tone"), "waiting");
    json_decref(lines);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_late_truck_is_told_with_its_cut_off),
        cmocka_unit_test(a_tight_truck_is_told_too),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
