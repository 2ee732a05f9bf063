#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/resistance_fit.h"

static struct arena arena;

static void a_clean_line_gives_d_and_z(void **state)
{
    (void)state;
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    const double time[] = {0, 10, 20, 30};
    const double counts[] = {8, 6, 4, 2};
    const double temps[] = {60, 65, 70, 75};
    const double d[] = {1000, 100, 10, 1};
    struct resistance_fit fit;
    double high;
    assert_ok(resistance_fit_d(&arena, time, counts, 4, INFINITY, &fit));
    assert_near(fit.value, 5, 1e-12);
    assert_near(fit.low, 5, 1e-6);
    assert_near(fit.high, 5, 1e-6);
    assert_near(resistance_reduction_low(&fit, 20), 4, 1e-6);
    assert_ok(resistance_fit_z(&arena, temps, d, 4, &fit));
    assert_near(fit.value, 5, 1e-12);
    assert_near(resistance_time_at(&fit, 67.5, &high), pow(10, 1.5), 1e-9);
    assert_near(high, pow(10, 1.5), 1e-5);
    arena_release(&arena);
}

static void a_level_slope_within_its_doubt_has_no_upper_end(void **state)
{
    (void)state;
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    const double time[] = {0, 10, 20};
    const double counts[] = {8, 3, 6};
    struct resistance_fit fit;
    assert_ok(resistance_fit_d(&arena, time, counts, 3, INFINITY, &fit));
    assert_true(isinf(fit.high));
    assert_near(resistance_reduction_low(&fit, 20), 0, 0);
    arena_release(&arena);
}

static void nothing_after_the_first_none_counts(void **state)
{
    (void)state;
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    const double time[] = {0, 10, 20, 30};
    const double counts[] = {8, 6, 4, 4};
    struct resistance_fit fit;
    assert_ok(resistance_fit_d(&arena, time, counts, 4, 25, &fit));
    assert_near(fit.value, 5, 1e-12);
    assert_int_equal(fit.left_out, 1);
    assert_ok(resistance_fit_d(&arena, time, counts, 4, 20, &fit));
    assert_int_equal(fit.left_out, 2);
    assert_true(isinf(fit.high));
    assert_code(resistance_fit_d(&arena, time, counts, 4, 10, &fit), FIELD_RANGE);
    arena_release(&arena);
}

static void what_gives_no_line_is_named(void **state)
{
    (void)state;
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    const double time[] = {0, 10};
    const double rising[] = {3, 4};
    const double zero[] = {0, 1};
    struct resistance_fit fit;
    assert_code(resistance_fit_d(&arena, time, rising, 2, INFINITY, &fit), FIELD_RANGE);
    struct result r = resistance_fit_z(&arena, time, zero, 2, &fit);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "points[0]");
    assert_code(resistance_fit_z(&arena, rising, time + 1, 1, &fit), FIELD_RANGE);
    arena_release(&arena);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_clean_line_gives_d_and_z),
        cmocka_unit_test(a_level_slope_within_its_doubt_has_no_upper_end),
        cmocka_unit_test(nothing_after_the_first_none_counts),
        cmocka_unit_test(what_gives_no_line_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
