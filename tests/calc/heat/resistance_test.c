#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/resistance.h"

static void z_and_energy_go_there_and_back(void **state)
{
    (void)state;
    for (double z_c = 1; z_c < 100; z_c *= 1.7) {
        double ea, back;
        assert_ok(resistance_energy(z_c, 55, 72, &ea));
        assert_ok(resistance_z_from_energy(ea, 55, 72, &back));
        assert_near(back, z_c, 1e-14);
    }
}

static void the_order_of_the_two_points_does_not_matter(void **state)
{
    (void)state;
    double a, b;
    assert_ok(resistance_z(60, 100, 72, 1, &a));
    assert_ok(resistance_z(72, 1, 60, 100, &b));
    assert_near(a, 6, 1e-14);
    assert_near(a, b, 1e-15);
}

static void what_gives_no_z_is_refused(void **state)
{
    (void)state;
    static const struct {
        double t1, d1, t2, d2;
        enum code code;
        const char *field;
    } cases[] = {
        {60, 10, 60, 5, CODE_FIELD_RANGE, "time_2"},
        {60, 10, 70, 10, CODE_FIELD_RANGE, "time_2"},
        {60, 10, 70, 20, CODE_FIELD_RANGE, "time_2"},
        {60, 0, 70, 1, CODE_FIELD_RANGE, "time_1"},
        {(double)NAN, 1, 70, 1, CODE_NUMBER_BAD, "temp_1_c"},
        {60, 1, 301, 1, CODE_FIELD_RANGE, "temp_2_c"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        double z;
        struct result r = resistance_z(cases[i].t1, cases[i].d1, cases[i].t2, cases[i].d2, &z);
        assert_code_at(r, cases[i].code, __FILE__, __LINE__);
        assert_string_equal(r.field, cases[i].field);
        assert_near(z, 0, 0);
    }
}

static void few_survivors_are_a_small_chance(void **state)
{
    (void)state;
    struct survivors r;
    assert_ok(survivors(1, 20, 1, &r));
    assert_near(r.at_least_one, 1e-20, 1e-14);
    assert_ok(survivors(0, 5, 1, &r));
    assert_true(isinf(r.one_in));
    assert_ok(survivors(1e9, 0, 1e9, &r));
    assert_near(r.at_least_one, 1, 0);
    assert_code(survivors(1, -1, 1, &r), FIELD_RANGE);
    assert_code(survivors(1, 1, 0, &r), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(z_and_energy_go_there_and_back),
        cmocka_unit_test(the_order_of_the_two_points_does_not_matter),
        cmocka_unit_test(what_gives_no_z_is_refused),
        cmocka_unit_test(few_survivors_are_a_small_chance),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
