#include "../../support.h"

#include "calc/growth/two_tests.h"

static struct two_tests_report compared(int64_t first_pct, int64_t second_pct, bool of_200)
{
    struct two_tests_report out;
    assert_ok(two_tests(first_pct, second_pct, of_200, &out));
    return out;
}

static void the_difference_may_equal_the_table(void **state)
{
    (void)state;
    assert_true(compared(96, 92, false).compatible);
    assert_true(compared(92, 96, false).compatible);
    assert_false(compared(96, 91, false).compatible);
    assert_true(compared(96, 91, true).compatible);
    assert_false(compared(99, 95, false).compatible);
}

static void every_pair_has_a_row(void **state)
{
    (void)state;
    for (int64_t a = 0; a <= 100; a++) {
        for (int64_t b = 0; b <= 100; b++) {
            struct two_tests_report r = compared(a, b, false);
            assert_int_equal(r.average_pct, (a + b + 1) / 2);
            assert_true(r.allowed >= 2 && r.allowed <= 11);
            assert_true(r.compatible == (r.difference <= r.allowed));
            assert_int_equal(compared(b, a, false).allowed, r.allowed);
        }
    }
    assert_int_equal(compared(50, 50, false).allowed, 11);
    assert_int_equal(compared(100, 100, false).allowed, 2);
    assert_int_equal(compared(0, 0, false).allowed, 2);
}

static void percents_out_of_range_are_named(void **state)
{
    (void)state;
    struct two_tests_report r;
    struct result got = two_tests(101, 50, false, &r);
    assert_code(got, FIELD_RANGE);
    assert_string_equal(got.field, "first_pct");
    got = two_tests(50, -1, false, &r);
    assert_string_equal(got.field, "second_pct");
    assert_false(r.compatible);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_difference_may_equal_the_table),
        cmocka_unit_test(every_pair_has_a_row),
        cmocka_unit_test(percents_out_of_range_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
