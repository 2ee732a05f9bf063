#include "ask.h"

#include "../near.h"

static void an_interval_without_an_end_says_so(void **state)
{
    (void)state;
    struct asked asked =
        ask("z-from-d", "{\"points\": [[53, 3.2], [55, 1.9], [58, 0.6]], \"at\": 64}");
    assert_string_equal(json_string_value(asked_result(&asked, "z_high_c")), "not determined");
    assert_true(json_is_number(asked_result(&asked, "time_at_high")));
    assert_true(asked_warns(&asked, "three points"));
    assert_true(asked_warns(&asked, "above the highest measured"));
    asked_done(&asked);
    asked = ask("z-from-d", "{\"points\": [[53, 3.2], [55, 1.9]], \"at\": 58}");
    assert_string_equal(json_string_value(asked_result(&asked, "time_at_high")), "not determined");
    assert_true(asked_warns(&asked, "Two points"));
    assert_false(asked_warns(&asked, "above the highest measured"));
    asked_done(&asked);
}

static void a_time_beyond_the_last_sample_is_said(void **state)
{
    (void)state;
    assert_warns("d-from-survivors", "{\"points\": [[0, 7], [60, 6], [120, 5.1]], \"time_s\": 121}",
                 "beyond the last sample", true);
    assert_warns("d-from-survivors", "{\"points\": [[0, 7], [60, 6], [120, 5.1]], \"time_s\": 120}",
                 "beyond the last sample", false);
    assert_warns("d-from-survivors",
                 "{\"points\": [[0, 7], [60, 6], [120, 5.1]], \"none_detected_s\": [180]}",
                 "none detected are not in the fit", true);
}

static void nothing_shown_is_said(void **state)
{
    (void)state;
    assert_warns("none-detected", "{\"initial_per_g\": 0.1, \"amount_g\": 10}", "shows nothing",
                 true);
    assert_warns("none-detected", "{\"initial_per_g\": 1, \"amount_g\": 10}", "shows nothing",
                 false);
    assert_warns("count-reduction", "{\"before\": 10, \"after\": 0}", "at least this", true);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_interval_without_an_end_says_so),
        cmocka_unit_test(a_time_beyond_the_last_sample_is_said),
        cmocka_unit_test(nothing_shown_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
