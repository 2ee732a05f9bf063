#include "asked.h"

#define TIMES(sampled, needed)                                              \
    "{\"sampled_h\": " sampled ", \"transit_h\": 6, \"laboratory_h\": 48, " \
    "\"needed_h\": " needed "}"

static void a_verdict_on_the_times(void **state)
{
    (void)state;
    asked_says("sample-times", TIMES("48", "102"), "verdict", "in-time");
    asked_says("sample-times", TIMES("47.9", "240"), "verdict", "too-young");
    asked_says("sample-times", TIMES("190", "240"), "verdict", "too-late");
    asked_says("sample-times", TIMES("48", "101.9"), "verdict", "impossible");
    assert_true(asked_warns("sample-times", TIMES("48", "101.9"), "faster method"));
    assert_false(asked_warns("sample-times", TIMES("48", "240"), "faster method"));
}

#define GAIN(rise) "{\"cells\": 10, " rise "\"shed\": 0.1, \"water_l\": 500, \"sample_l\": 1}"

static void a_rise_comes_from_one_place(void **state)
{
    (void)state;
    asked_refused("detection-gain", GAIN(""), CODE_FIELD_MISSING, "rise_log10");
    asked_refused("detection-gain", GAIN("\"organism\": \"salmonella\", \"rise_log10\": 2, "),
                  CODE_FIELD_MISSING, "rise_log10");
    assert_true(asked_gives("detection-gain", GAIN("\"rise_log10\": 2, "), "chance"));
}

static void what_cannot_be_reached_is_left_out_and_said(void **state)
{
    (void)state;
    const char *few = "{\"cells_per_kg\": 5, \"portion_g\": 25, \"share\": 0.01}";
    assert_false(asked_gives("detection", few, "found_per_kg"));
    assert_true(asked_warns("detection", few, "at any level"));
    const char *small = "{\"prevalence\": 0.1, \"lot_size\": 10, \"sensitivity\": 0.5}";
    assert_false(asked_gives("sample-size", small, "samples"));
    assert_true(asked_warns("sample-size", small, "Not even the whole lot"));
    asked_refused("sample-size", "{\"prevalence\": 0.1, \"lot_size\": 10, \"samples\": 11}",
                  CODE_FIELD_RANGE, "samples");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_verdict_on_the_times),
        cmocka_unit_test(a_rise_comes_from_one_place),
        cmocka_unit_test(what_cannot_be_reached_is_left_out_and_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
