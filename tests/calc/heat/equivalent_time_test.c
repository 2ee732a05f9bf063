#include "../../support.h"

#include "../near.h"
#include "calc/heat/equivalent_time.h"

static void time_and_rate_go_together(void **state)
{
    (void)state;
    struct equivalent_time r;
    assert_ok(equivalent_time(71.1, 5.3, 6, 76, &r));
    /* Computed here: 6 s at 71.1 C are 0.71388 s at 76 C with z 5.3. */
    assert_true(fabs(r.time_s - 0.71388) <= 1e-5);
    assert_near(r.lethal_rate * r.time_s, 6, 1e-15);
    assert_ok(equivalent_time(70, 10, 60, 70, &r));
    assert_near(r.time_s, 60, 0);
    assert_ok(equivalent_time(70, 10, 60, 60, &r));
    assert_near(r.time_s, 600, 1e-14);
}

static void there_and_back_is_the_same_time(void **state)
{
    (void)state;
    for (double temp_c = -20; temp_c < 300; temp_c += 7) {
        struct equivalent_time there, back;
        assert_ok(equivalent_time(70, 10, 60, temp_c, &there));
        assert_ok(equivalent_time(temp_c, 10, there.time_s, 70, &back));
        assert_near(back.time_s, 60, 1e-12);
    }
}

static void what_means_nothing_is_refused(void **state)
{
    (void)state;
    static const struct {
        double reference_c, z_c, time_s, temp_c;
        enum code code;
        const char *field;
    } cases[] = {
        {70, 0, 60, 70, CODE_FIELD_RANGE, "z_c"},
        {70, 10, 0, 70, CODE_FIELD_RANGE, "time_s"},
        {70, 10, -1, 70, CODE_FIELD_RANGE, "time_s"},
        {70, 10, (double)NAN, 70, CODE_NUMBER_BAD, "time_s"},
        {70, 10, 60, 301, CODE_FIELD_RANGE, "temp_c"},
        {70, 10, 60, (double)NAN, CODE_NUMBER_BAD, "temp_c"},
        {-61, 10, 60, 70, CODE_FIELD_RANGE, "reference_c"},
        {70, 0.1, 60, 200, CODE_CALC_OVERFLOW, "z_c"},
        {70, 0.1, 60, 0, CODE_CALC_OVERFLOW, "z_c"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct equivalent_time r;
        struct result got = equivalent_time(cases[i].reference_c, cases[i].z_c, cases[i].time_s,
                                            cases[i].temp_c, &r);
        assert_code_at(got, cases[i].code, __FILE__, __LINE__);
        assert_string_equal(got.field, cases[i].field);
        assert_near(r.time_s, 0, 0);
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(time_and_rate_go_together),
        cmocka_unit_test(there_and_back_is_the_same_time),
        cmocka_unit_test(what_means_nothing_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
