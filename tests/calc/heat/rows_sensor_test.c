#include "ask.h"

#include "../near.h"

static void a_probe_that_reads_low_takes_nothing_more_off(void **state)
{
    (void)state;
    struct asked asked = ask("sensor-uncertainty", "{\"certificate_c\": 0.2, \"drift_c\": 0, "
                                                   "\"resolution_c\": 0, \"as_found_c\": -1}");
    assert_near(json_number_value(asked_result(&asked, "take_off_c")), 0.2, 1e-12);
    assert_null(asked_result(&asked, "lethality_share"));
    asked_done(&asked);
}

static void every_place_has_its_interval(void **state)
{
    (void)state;
    static const struct {
        const char *place;
        double longest_s;
    } cases[] = {
        {"holding-tube", 1}, {"seed-dip", 0.5}, {"batch-cook", 10}, {"chill", 300}, {"store", 900}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char in[200];
        snprintf(in, sizeof in, "{\"z_c\": 7, \"ramp_c_s\": 0, \"place\": \"%s\"}", cases[i].place);
        struct asked asked = ask("log-interval", in);
        assert_near(json_number_value(asked_result(&asked, "longest_s")), cases[i].longest_s, 0);
        assert_null(asked_result(&asked, "by_ramp_s"));
        assert_null(asked_result(&asked, "verdict"));
        asked_done(&asked);
    }
    assert_warns("log-interval", "{\"z_c\": 7, \"ramp_c_s\": 0, \"interval_s\": 11}", "too seldom",
                 true);
    assert_warns("log-interval", "{\"z_c\": 7, \"ramp_c_s\": 0, \"interval_s\": 10}", "too seldom",
                 false);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_probe_that_reads_low_takes_nothing_more_off),
        cmocka_unit_test(every_place_has_its_interval),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
