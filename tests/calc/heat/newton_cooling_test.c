#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/newton_cooling.h"

static void a_tenth_of_the_difference_takes_one_factor(void **state)
{
    (void)state;
    struct newton_cooling way = {.start_c = 102, .ambient_c = 2, .target_c = 12, .lag_j = 1};
    double out = 0;
    assert_ok(newton_factors(&way, &out));
    assert_near(out, 1, 1e-15);
    assert_ok(newton_time(&way, 90, &out));
    assert_near(out, 90, 1e-15);
    way.lag_j = 10;
    assert_ok(newton_factors(&way, &out));
    assert_near(out, 2, 1e-15);
}

static void where_it_is_already_takes_no_time(void **state)
{
    (void)state;
    struct newton_cooling way = {.start_c = 12, .ambient_c = 2, .target_c = 12, .lag_j = 1};
    double out = 1;
    assert_ok(newton_factors(&way, &out));
    assert_near(out, 0, 0);
    way.lag_j = 0.5;
    assert_ok(newton_factors(&way, &out));
    assert_near(out, 0, 0);
}

static void colder_than_the_air_is_never_reached(void **state)
{
    (void)state;
    struct newton_cooling way = {.start_c = 57, .ambient_c = 5, .target_c = 5, .lag_j = 1};
    double out = 1;
    assert_string_equal(newton_factors(&way, &out).field, "ambient_c");
    assert_near(out, 0, 0);
    way.target_c = 60;
    assert_string_equal(newton_factors(&way, &out).field, "target_c");
    way = (struct newton_cooling){(double)NAN, 2, 5, 1};
    assert_code(newton_factors(&way, &out), NUMBER_BAD);
    way = (struct newton_cooling){57, 2, 5, 0};
    assert_string_equal(newton_factors(&way, &out).field, "lag_j");
    way.lag_j = 1;
    assert_string_equal(newton_time(&way, 0, &out).field, "f_min");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_tenth_of_the_difference_takes_one_factor),
        cmocka_unit_test(where_it_is_already_takes_no_time),
        cmocka_unit_test(colder_than_the_air_is_never_reached),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
