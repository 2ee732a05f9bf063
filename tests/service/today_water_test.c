/* Stopped waters, for those whom the profile has told; waters to be changed before they pass their
 * limit. */
#include "todays.h"

static bool sees(struct house *h, const char *role, const char *what)
{
    json_t *lines = todays_lines(h, 1, role);
    bool is = with_text(lines, "what", what) != NULL;
    json_decref(lines);
    return is;
}

static void a_stop_is_shown_to_those_who_are_told(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_wait(&h, "1 h");
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'1 mg/L','person':7}");
    static const char *const told[] = {"line", "hygiene", "quality", "manager"};
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++) {
        assert_true(sees(&h, told[i], "stop"));
    }
    assert_false(sees(&h, "grower", "stop")); /* the rule of wash lines names no grower */
    assert_false(sees(&h, "dispatch", "stop"));
    json_t *lines = todays_lines(&h, 1, "line");
    const json_t *line = json_array_get(lines, 0); /* nothing comes before it */
    assert_string_equal(text_at(line, "key"), "stop:WASH");
    assert_string_equal(text_at(line, "tone"), "stopped");
    assert_string_equal(
        text_at(line, "sentence"),
        "Stop: the water of WASH since 05:00, read out of its limits. Use none of it.");
    assert_string_equal(text_at(at_key(line, "go"), "form"), "stop-heard");
    assert_string_equal(text_at(at_key(at_key(line, "go"), "with"), "place"), "WASH");
    json_decref(lines);
    house_take(&h, "{'kind':'stop-heard','place':'WASH','person':5}");
    lines = todays_lines(&h, 1, "line");
    line = with_text(lines, "what", "stop");
    assert_string_equal(text_at(at_key(line, "go"), "form"), "water-restart");
    assert_string_equal(text_at(line, "verb"), "Let run");
    json_decref(lines);
    house_wait(&h, "10 min");
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'20 mg/L','person':7}");
    house_take(&h, "{'kind':'water-restart','place':'WASH','person':5}");
    assert_false(sees(&h, "line", "stop"));
    house_wait(&h, "10 min"); /* a stop of its own, which nobody heard yet */
    house_take(&h, "{'kind':'water-reading','place':'WASH','chlorine':'1 mg/L','person':7}");
    lines = todays_lines(&h, 1, "line");
    assert_string_equal(text_at(at_key(with_text(lines, "what", "stop"), "go"), "form"),
                        "stop-heard");
    json_decref(lines);
    house_close(&h);
}

static void read_solids(struct house *h, const char *solids)
{
    house_take(h,
               "{'kind':'water-reading','place':'WASH','solids':'%s mg/L','make_up':'0 L/h',"
               "'person':5}",
               solids);
}

/* 100 mg/L and 40 more an hour without fresh water: 300, the limit of the profile, four hours after
 * the second reading. */
static void water_is_changed_before_it_passes_its_limit(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    house_take(&h, "{'kind':'water-loop','place':'WASH','volume':'2000 L','measure':'solids',"
                   "'change_every':'1 d','person':2}");
    house_take(&h, "{'kind':'water-change','place':'WASH','person':5}");
    house_wait(&h, "1 h");
    read_solids(&h, "100");
    assert_false(sees(&h, "line", "water-change")); /* one reading says nothing */
    house_wait(&h, "1 h");
    read_solids(&h, "140");
    json_t *lines = todays_lines(&h, 1, "line");
    const json_t *line = with_text(lines, "what", "water-change");
    assert_non_null(line);
    assert_string_equal(
        text_at(line, "sentence"),
        "Change the water of WASH by 10:00: it is at 140 mg/L and will pass 300 mg/L.");
    assert_string_equal(text_at(line, "tone"), "due");
    assert_string_equal(text_at(at_key(line, "go"), "form"), "water-change");
    json_decref(lines);
    assert_false(sees(&h, "dispatch", "water-change"));
    house_take(&h, "{'kind':'water-change','place':'WASH','person':5}");
    assert_false(sees(&h, "line", "water-change"));
    house_wait(&h, "1 h");
    read_solids(&h, "40");
    house_wait(&h, "23 h");
    lines = todays_lines(&h, 1, "line");
    assert_string_equal(text_at(with_text(lines, "what", "water-change"), "sentence"),
                        "Change the water of WASH: its change was planned for 06:00; it is at 40 "
                        "mg/L of 300 mg/L.");
    json_decref(lines);
    read_solids(&h, "301"); /* stops it as well, by its limit */
    lines = todays_lines(&h, 1, "line");
    assert_string_equal(text_at(with_text(lines, "what", "water-change"), "tone"), "stopped");
    assert_non_null(with_text(lines, "what", "stop"));
    json_decref(lines);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_stop_is_shown_to_those_who_are_told),
        cmocka_unit_test(water_is_changed_before_it_passes_its_limit),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
