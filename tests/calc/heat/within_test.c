#include "../../support.h"

#include <math.h>

#include "calc/heat/within.h"

static void a_number_is_held_against_its_range(void **state)
{
    (void)state;
    assert_ok(within("x", 1, 1, 2, "from 1 to 2"));
    assert_ok(within("x", 2, 1, 2, "from 1 to 2"));
    struct result r = within("x", 2.5, 1, 2, "from 1 to 2");
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "x");
    assert_string_equal(r.value[0], "2.5");
    assert_string_equal(r.value[1], "from 1 to 2");
    assert_code(within("x", 0, WITHIN_ABOVE_ZERO, 2, "above 0"), FIELD_RANGE);
    assert_ok(within("x", 1e-300, WITHIN_ABOVE_ZERO, 2, "above 0"));
}

static void what_is_no_number_is_told_apart(void **state)
{
    (void)state;
    assert_code(within("x", (double)NAN, 0, 1, ""), NUMBER_BAD);
    assert_code(within("x", (double)INFINITY, 0, 1, ""), NUMBER_BAD);
    struct result r = within_item("times_s", 3, (double)NAN, 0, 1, "");
    assert_code(r, NUMBER_BAD);
    assert_string_equal(r.field, "times_s[3]");
}

static void a_result_beyond_numbers_names_its_cause(void **state)
{
    (void)state;
    assert_ok(finite_result("z_c", 0.1, 1e308));
    struct result r = finite_result("z_c", 0.1, (double)INFINITY);
    assert_code(r, CALC_OVERFLOW);
    assert_string_equal(r.field, "z_c");
    assert_string_equal(r.value[0], "0.1");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_number_is_held_against_its_range),
        cmocka_unit_test(what_is_no_number_is_told_apart),
        cmocka_unit_test(a_result_beyond_numbers_names_its_cause),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
