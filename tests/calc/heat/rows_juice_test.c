#include "ask.h"

#include "../near.h"

static void a_viscosity_outside_what_was_measured_is_told(void **state)
{
    (void)state;
    assert_warns("juice-viscosity", "{\"viscosity_20_mpa_s\": 4, \"ea_kj_mol\": 5, \"temp_c\": 90}",
                 "outside 20 to 80", true);
    assert_warns("juice-viscosity", "{\"viscosity_20_mpa_s\": 4, \"ea_kj_mol\": 5, \"temp_c\": 80}",
                 "outside 20 to 80", false);
}

static void a_tube_alone_has_no_verdict(void **state)
{
    (void)state;
    struct asked asked =
        ask("holding-tube", "{\"flow_l_h\": 100, \"diameter_mm\": 30, \"density_kg_m3\": "
                            "1000, \"viscosity_mpa_s\": 5, \"time_s\": 6}");
    assert_null(asked_result(&asked, "verdict"));
    assert_null(asked_result(&asked, "needed_log_law_m"));
    assert_string_equal(json_string_value(asked_result(&asked, "flow_kind")), "laminar");
    asked_done(&asked);
}

static void only_the_polynomials_in_use_are_named(void **state)
{
    (void)state;
    struct asked water = ask("food-properties", "{\"temp_c\": 20, \"water\": 1}");
    struct asked mixed = ask("food-properties", "{\"temp_c\": 20, \"water\": 0.5, \"fat\": 0.5}");
    size_t alone = json_array_size(json_object_get(water.answer, "constants"));
    assert_int_equal(json_array_size(json_object_get(mixed.answer, "constants")), alone + 8);
    asked_done(&water);
    asked_done(&mixed);
}

static void an_extrapolated_enzyme_is_told(void **state)
{
    (void)state;
    assert_warns("pme-residual", "{\"temp_c\": 96, \"time_s\": 1}", "extrapolation", true);
    assert_warns("pme-residual", "{\"temp_c\": 95, \"time_s\": 1}", "extrapolation", false);
    struct asked asked = ask("pme-residual", "{\"temp_c\": 90, \"time_s\": 0, \"residual\": 1}");
    assert_near(json_number_value(asked_result(&asked, "residual_share")), 1, 1e-12);
    assert_near(json_number_value(asked_result(&asked, "target_s")), 0, 0);
    asked_done(&asked);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_viscosity_outside_what_was_measured_is_told),
        cmocka_unit_test(a_tube_alone_has_no_verdict),
        cmocka_unit_test(only_the_polynomials_in_use_are_named),
        cmocka_unit_test(an_extrapolated_enzyme_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
