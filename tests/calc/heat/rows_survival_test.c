#include "ask.h"

#include "../near.h"

static void what_lies_beyond_what_was_seen_is_at_least(void **state)
{
    (void)state;
    const char *in = "{\"reference_c\": 60, \"z_c\": 10, \"d_s\": 10, \"temp_c\": 60, \"times_s\": "
                     "[20, 60], \"reduction_seen\": 4, \"target\": 4}";
    struct asked asked = ask("survival-curve", in);
    const json_t *reduction = asked_result(&asked, "reduction");
    assert_near(json_number_value(json_array_get(reduction, 0)), 2, 1e-12);
    assert_near(json_number_value(json_array_get(reduction, 1)), 4, 0);
    assert_near(json_number_value(asked_result(&asked, "target_s")), 40, 1e-12);
    assert_true(asked_warns(&asked, "at least"));
    assert_null(asked_result(&asked, "log_survivors"));
    asked_done(&asked);
}

static void a_log_may_have_two_kinds_of_survivors(void **state)
{
    (void)state;
    const char *in =
        "{\"points\": [[0, 90], [18, 90]], \"model\": \"biphasic\", \"reference_c\": 90, "
        "\"z_c\": 10.6, \"d_s\": 0.18, \"z2_c\": 11.8, \"d2_s\": 32.8, \"fraction\": "
        "0.91, \"reduction_seen\": 3}";
    struct asked asked = ask("survival-log", in);
    const json_t *exact = json_object_get(asked.answer, "unrounded");
    /* Computed here: 0.09 * 10^(-18/32.8). */
    assert_near(json_number_value(json_object_get(exact, "reduction_best")),
                -log10(0.09) + 18 / 32.8, 1e-9);
    asked_done(&asked);
}

static void gaps_and_counts_that_tell_too_little_are_said(void **state)
{
    (void)state;
    assert_warns(
        "survival-log",
        "{\"points\": [[0, 60], [10, 60], [100, 60]], \"gap_max_s\": 20, \"reference_c\": 60, "
        "\"z_c\": 7, \"d_s\": 100, \"reduction_seen\": 5}",
        "gaps", true);
    assert_warns("survival-fit",
                 "{\"points\": [[0, 8], [1, 7], [2, 6], [3, 5], [4, 4]], \"target\": 9}",
                 "beyond the largest", true);
    assert_refused("survival-fit", "{\"points\": [[0, 8, 1], [1, 7, 1], [2, 6, 1]]}",
                   CODE_FIELD_RANGE, "points");
}

static void each_fitted_curve_gives_a_time(void **state)
{
    (void)state;
    static const char *const models[] = {"line", "weibull", "shoulder", "tail", "shoulder-tail"};
    for (size_t i = 0; i < sizeof models / sizeof models[0]; i++) {
        char in[300];
        snprintf(in, sizeof in,
                 "{\"points\": [[0, 7.1], [1, 6.8], [2, 6.3], [3, 5.4], [4, 4.6], [6, 3.1], [8, "
                 "2.2], [10, 2.0], [12, 2.1]], \"model\": \"%s\", \"target\": 3}",
                 models[i]);
        struct asked asked = ask("survival-fit", in);
        double time = json_number_value(asked_result(&asked, "target_time"));
        assert_true(time > 4 && time < 9);
        asked_done(&asked);
    }
    struct asked asked =
        ask("survival-fit", "{\"points\": [[1, 1.1], [2, 2.3], [3, 2.9], [4, 4.2]], "
                            "\"model\": \"power\", \"target\": 2}");
    double time = json_number_value(asked_result(&asked, "target_time"));
    assert_true(time > 1.5 && time < 2.2);
    asked_done(&asked);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_lies_beyond_what_was_seen_is_at_least),
        cmocka_unit_test(a_log_may_have_two_kinds_of_survivors),
        cmocka_unit_test(gaps_and_counts_that_tell_too_little_are_said),
        cmocka_unit_test(each_fitted_curve_gives_a_time),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
