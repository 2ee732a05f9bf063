#include "ask.h"

#include "../near.h"

static void weak_constants_are_told(void **state)
{
    (void)state;
    const char *in = "{\"temp_c\": 70, \"times_s\": [10], \"germination_pct\": 96}";
    assert_warns("seed-treatment-curve", in, "stand-ins, one strain on radish seed", true);
    assert_warns("seed-treatment-curve", in, "bracket of two published points", true);
    assert_warns("seed-treatment-curve", in, "credited only up to there", true);
    in = "{\"temp_c\": 62, \"times_s\": [10], \"germination_pct\": 96, \"d_s\": 20, "
         "\"germination_d_s\": 5000}";
    assert_warns("seed-treatment-curve", in, "stand-ins", false);
    assert_warns("seed-treatment-curve", in, "bracket", false);
    assert_warns("seed-treatment-curve", in, "credited only up to there", false);
    in = "{\"temp_c\": 95, \"times_s\": [10], \"germination_pct\": 96, \"loss\": \"probit\"}";
    assert_warns("seed-treatment-curve", in, "outside the range of the probit", true);
    assert_warns("seed-treatment-curve", in, "No treatment makes seed free of pathogens", true);
}

static void an_extrapolated_longevity_is_told(void **state)
{
    (void)state;
    assert_warns("seed-longevity", "{\"moisture_pct\": 10, \"temp_c\": 95}", "extrapolation", true);
    assert_warns("seed-longevity", "{\"moisture_pct\": 10, \"temp_c\": 90}", "extrapolation",
                 false);
    struct asked asked = ask("seed-longevity", "{\"moisture_pct\": 10, \"temp_c\": -60, "
                                               "\"germination_pct\": 90}");
    assert_null(asked_result(&asked, "z_c"));
    assert_near(json_number_value(asked_result(&asked, "least_h")), 0, 0);
    asked_done(&asked);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(weak_constants_are_told),
        cmocka_unit_test(an_extrapolated_longevity_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
