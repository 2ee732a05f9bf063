#include "ask.h"

#include "../near.h"

static void what_was_not_given_is_not_answered(void **state)
{
    (void)state;
    struct asked asked = ask("resistance-convert", "{\"reference\": 60, \"z\": 5}");
    assert_null(asked_result(&asked, "rate_per_s"));
    assert_null(asked_result(&asked, "d_other_s"));
    assert_near(json_number_value(asked_result(&asked, "reference_f")), 140, 1e-14);
    assert_near(json_number_value(asked_result(&asked, "z_f")), 9, 1e-14);
    asked_done(&asked);
    asked = ask("survivors", "{\"initial_per_g\": 0, \"reduction\": 1, \"mass_g\": 1}");
    assert_null(asked_result(&asked, "one_in"));
    asked_done(&asked);
}

static void both_units_give_the_same_z(void **state)
{
    (void)state;
    struct asked c = ask("z-from-two", "{\"temp_1\": 50, \"time_1\": 9, \"temp_2\": 60, "
                                       "\"time_2\": 1}");
    struct asked f = ask("z-from-two", "{\"temp_1\": 122, \"time_1\": 9, \"temp_2\": 140, "
                                       "\"time_2\": 1, \"unit\": \"F\"}");
    assert_near(json_number_value(asked_result(&c, "z_c")),
                json_number_value(asked_result(&f, "z_c")), 1e-13);
    asked_done(&c);
    asked_done(&f);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_was_not_given_is_not_answered),
        cmocka_unit_test(both_units_give_the_same_z),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
