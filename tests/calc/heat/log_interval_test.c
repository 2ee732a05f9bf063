#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/log_interval.h"

static void the_shortest_of_three_counts(void **state)
{
    (void)state;
    struct log_interval r;
    assert_ok(log_interval(8, 4, 10, LOG_PLACE_STORE, &r));
    assert_near(r.by_ramp_s, 0.5, 1e-15);
    assert_near(r.by_hold_s, 2, 1e-15);
    assert_near(r.longest_s, 0.5, 1e-15);
    assert_ok(log_interval(8, 0, 0, LOG_PLACE_STORE, &r));
    assert_true(isinf(r.by_ramp_s) && isinf(r.by_hold_s));
    assert_near(r.longest_s, 900, 0);
    assert_code(log_interval(0, 1, 1, LOG_PLACE_STORE, &r), FIELD_RANGE);
    assert_code(log_interval(8, -1, 1, LOG_PLACE_STORE, &r), FIELD_RANGE);
    assert_code(log_interval(8, 1, (double)NAN, LOG_PLACE_STORE, &r), NUMBER_BAD);
}

static void a_fifth_of_the_hold_is_still_fine(void **state)
{
    (void)state;
    assert_false(log_interval_coarse(2000, 10000));
    assert_true(log_interval_coarse(2001, 10000));
    assert_true(log_interval_coarse(1, 0));
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_shortest_of_three_counts),
        cmocka_unit_test(a_fifth_of_the_hold_is_still_fine),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
