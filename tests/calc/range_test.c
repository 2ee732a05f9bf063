/* The range that a computation is valid in. */
#include "../support.h"

#include <math.h>

#include "calc/range.h"

static void both_ends_are_in_it(void **state)
{
    (void)state;
    assert_ok(range_check("x", 1, 1, 1));
    assert_ok(range_check("x", -5, -5, 7));
    assert_ok(range_check("x", 7, -5, 7));
    assert_ok(range_check("x", INT64_MIN, INT64_MIN, INT64_MAX));
    assert_ok(range_check("x", INT64_MAX, INT64_MIN, INT64_MAX));
}

static void outside_names_field_value_and_range(void **state)
{
    (void)state;
    struct result r = range_check("points[3][1]", 8, -5, 7);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "points[3][1]");
    assert_string_equal(r.value[0], "8");
    assert_string_equal(r.value[1], "from -5 to 7");
    r = range_check("x", INT64_MIN, INT64_MIN + 1, INT64_MAX);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.value[0], "-9223372036854775808");
    assert_string_equal(r.value[1], "from -9223372036854775807 to 9223372036854775807");
}

static void a_measured_number_is_finite_and_inside(void **state)
{
    (void)state;
    assert_ok(range_number("x", 0.5, 0.5, 0.5));
    assert_ok(range_number("x", -1e300, -1e300, 1e300));
    struct result r = range_number("ph", 14.5, 0, 14);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "ph");
    assert_string_equal(r.value[0], "14.5");
    assert_string_equal(r.value[1], "from 0 to 14");
    assert_code(range_number("x", (double)NAN, 0, 1), NUMBER_BAD);
    assert_code(range_number("x", (double)INFINITY, 0, (double)INFINITY), NUMBER_BAD);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(both_ends_are_in_it),
        cmocka_unit_test(outside_names_field_value_and_range),
        cmocka_unit_test(a_measured_number_is_finite_and_inside),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
