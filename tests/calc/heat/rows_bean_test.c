#include "ask.h"

#include "../near.h"

static void one_axis_is_both_spheres(void **state)
{
    (void)state;
    struct asked asked = ask("bean-core", "{\"points\": [[0, 85], [10, 85]], \"start_c\": 20}");
    double slow = json_number_value(json_array_get(asked_result(&asked, "centre_c"), 1));
    double fast = json_number_value(json_array_get(asked_result(&asked, "centre_fast_c"), 1));
    assert_near(slow, fast, 1e-12);
    asked_done(&asked);
    assert_refused("bean-core", "{\"points\": [[0, 85], [1e13, 85]], \"start_c\": 20}",
                   CODE_FIELD_RANGE, "points");
    assert_refused("bean-core", "{\"points\": [[5, 85], [1, 85]], \"start_c\": 20}",
                   CODE_LOG_BACKWARDS, "points[1][0]");
}

static void either_the_water_or_the_temperature(void **state)
{
    (void)state;
    assert_refused(
        "bath-size",
        "{\"seed_kg\": 1, \"seed_c\": 20, \"water_c\": 90, \"least_c\": 85, \"water_kg\": 4}",
        CODE_FIELD_MISSING, "least_c");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_axis_is_both_spheres),
        cmocka_unit_test(either_the_water_or_the_temperature),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
