#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/water/chlorine_decay.h"

static void what_meets_a_demand_of_its_own_size(void **state)
{
    (void)state;
    /* The formula's limit: C0 / (1 + K C0 t); just beside it the same. */
    double equal = 0, less = 0, more = 0;
    assert_ok(chlorine_demand(10, 10, 0.001, 3, &equal));
    assert_ok(chlorine_demand(10, 10 - 1e-9, 0.001, 3, &less));
    assert_ok(chlorine_demand(10, 10 + 1e-9, 0.001, 3, &more));
    assert_near(equal, 10 / (1 + 10 * 0.001 * 1000 / 70.906 * 3), 1e-14);
    assert_near(less, equal, 1e-9);
    assert_near(more, equal, 1e-9);
}

static void a_demand_takes_what_it_can(void **state)
{
    (void)state;
    double left = 0;
    assert_ok(chlorine_demand(10, 4, 0.001, 1e6, &left));
    assert_near(left, 6, 1e-12);
    assert_ok(chlorine_demand(4, 10, 0.001, 1e6, &left));
    assert_near(left, 0, 0);
    assert_ok(chlorine_demand(4, 10, 0.001, 0, &left));
    assert_near(left, 4, 0);
    assert_ok(chlorine_demand(4, 0, 0.001, 100, &left));
    assert_near(left, 4, 0);
    assert_ok(chlorine_demand(0, 10, 0.001, 100, &left));
    assert_near(left, 0, 0);
}

/* Both ways of saying it agree: R = D0/C0, u = K C0 (1 - R). */
static void demand_is_the_second_order(void **state)
{
    (void)state;
    double demand = 0, second = 0;
    double u = 0.0009 * 1000 / 70.906 * (8 - 2);
    assert_ok(chlorine_demand(8, 2, 0.0009, 12, &demand));
    assert_ok(chlorine_second(8, 0.25, u, 12, &second));
    assert_near(demand, second, 1e-14);
}

static void kill_counts_what_is_left(void **state)
{
    (void)state;
    double steady = 0, falling = 0, slow = 0;
    assert_ok(chlorine_kill(2, 0, 60, 70, &steady));
    assert_ok(chlorine_kill(2, 1, 60, 70, &falling));
    assert_ok(chlorine_kill(2, 1e-12, 60, 70, &slow));
    assert_near(steady, 140 / log(10), 1e-15);
    assert_near(falling, steady * (1 - exp(-1)), 1e-14);
    assert_near(slow, steady, 1e-11);
}

static void what_means_nothing_is_refused(void **state)
{
    (void)state;
    double out = 1;
    struct chlorine_hold hold;
    assert_string_equal(chlorine_first(-1, 1, 1, &out).field, "start_mg_l");
    assert_near(out, 0, 0);
    assert_code(chlorine_first(1, (double)NAN, 1, &out), NUMBER_BAD);
    assert_string_equal(chlorine_second(1, 1, 1, 1, &out).field, "ratio");
    assert_string_equal(chlorine_second(1, 0.5, 1, -1, &out).field, "time_min");
    assert_string_equal(chlorine_demand(1, 1, 2, 1, &out).field, "rate_per_um_min");
    assert_string_equal(chlorine_hold(1, 1, 0, &hold).field, "rate_per_min");
    assert_code(chlorine_kill(1, 0, (double)INFINITY, 70, &out), NUMBER_BAD);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_meets_a_demand_of_its_own_size),
        cmocka_unit_test(a_demand_takes_what_it_can),
        cmocka_unit_test(demand_is_the_second_order),
        cmocka_unit_test(kill_counts_what_is_left),
        cmocka_unit_test(what_means_nothing_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
