#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/line_fit.h"

static void a_straight_line_is_found_exactly(void **state)
{
    (void)state;
    const double x[] = {1e6 + 1, 1e6 + 2, 1e6 + 3, 1e6 + 4};
    const double y[] = {5, 3, 1, -1};
    struct line_fit fit;
    assert_ok(line_fit("points", x, y, 4, &fit));
    assert_near(fit.slope, -2, 1e-14);
    assert_near(line_at(&fit, 1e6), 7, 1e-9);
    assert_true(fit.s < 1e-9);
}

static void two_points_have_no_interval(void **state)
{
    (void)state;
    const double x[] = {1, 2};
    const double y[] = {5, 3};
    struct line_fit fit;
    assert_ok(line_fit("points", x, y, 2, &fit));
    assert_true(isinf(fit.t_two) && isinf(line_half_width(&fit, 1, fit.t_two)));
}

static void points_at_one_place_are_refused(void **state)
{
    (void)state;
    const double x[] = {2, 2, 2, (double)NAN};
    struct line_fit fit;
    assert_code(line_fit("points", x, x, 3, &fit), FIELD_RANGE);
    assert_code(line_fit("points", x, x, 1, &fit), FIELD_RANGE);
    assert_code(line_fit("points", x, x, 0, &fit), FIELD_RANGE);
    struct result r = line_fit("points", x, x, 4, &fit);
    assert_code(r, NUMBER_BAD);
    assert_string_equal(r.field, "points[3]");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_straight_line_is_found_exactly),
        cmocka_unit_test(two_points_have_no_interval),
        cmocka_unit_test(points_at_one_place_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
