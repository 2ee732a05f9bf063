#include "ask.h"

#include "../near.h"

static void the_window_is_the_one_asked_for(void **state)
{
    (void)state;
    static const struct {
        const char *window;
        double units;
    } cases[] = {{"hold", 1}, {"come-up-hold", 1.43429448}, {"all", 1.86858896}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char in[300];
        snprintf(in, sizeof in,
                 "{\"points\": [[0, 20], [240, 60], [300, 60], [540, 20]], \"gap_max_s\": 900, "
                 "\"reference_c\": 60, \"z_c\": 10, \"window\": \"%s\"}",
                 cases[i].window);
        struct asked asked = ask("pasteurisation-units", in);
        const json_t *exact = json_object_get(asked.answer, "unrounded");
        /* Computed here: a ramp of four z brings (1 - 10^-4) of z minutes over ln 10 times 10. */
        assert_near(json_number_value(json_object_get(exact, "units_best")), cases[i].units, 1e-4);
        asked_done(&asked);
    }
}

static void gaps_and_caps_are_said(void **state)
{
    (void)state;
    assert_warns(
        "pasteurisation-units",
        "{\"points\": [[0, 60], [10, 60], [100, 60]], \"gap_max_s\": 20, \"set\": \"beer\"}",
        "gaps", true);
    assert_warns("pasteurisation-units", "{\"points\": [[0, 60], [10, 60]], \"set\": \"beer\"}",
                 "5.56", false);
    assert_warns("pasteurisation-units", "{\"points\": [[0, 66], [10, 66]], \"set\": \"beer\"}",
                 "5.56", true);
    assert_warns("cook-value", "{\"points\": [[0, 60], [10, 60], [100, 60]], \"gap_max_s\": 20}",
                 "gaps", true);
}

static void a_bound_without_a_tested_range_says_so(void **state)
{
    (void)state;
    const char *in = "{\"points\": [[0, 60], [10, 60]], \"reference_c\": 60, \"z_c\": 7, "
                     "\"z_low_c\": 6, \"z_high_c\": 8, \"d_high_s\": 2}";
    assert_warns("lethality-bound", in, "not given", true);
}

static void one_rate_has_no_trapezoid(void **state)
{
    (void)state;
    struct asked asked = ask("rate-sum", "{\"rates\": [2], \"interval_min\": 3}");
    assert_near(json_number_value(asked_result(&asked, "f_rectangle_min")), 6, 0);
    assert_null(asked_result(&asked, "f_trapezoid_min"));
    assert_null(asked_result(&asked, "f_simpson_min"));
    asked_done(&asked);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_window_is_the_one_asked_for),
        cmocka_unit_test(gaps_and_caps_are_said),
        cmocka_unit_test(a_bound_without_a_tested_range_says_so),
        cmocka_unit_test(one_rate_has_no_trapezoid),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
