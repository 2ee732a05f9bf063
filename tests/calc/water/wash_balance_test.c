#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/water/wash_balance.h"

static const struct wash_loop tank = {
    .volume_l = 2000, .load_g_h = 400, .blow_down_l_h = 300, .carry_out_l_h = 200};

static void the_limit_is_reached_when_the_level_says_so(void **state)
{
    (void)state;
    for (double decay = 0; decay < 0.2; decay += 0.03) {
        struct wash_loop loop = tank;
        enum wash_reach reach;
        double time_h = 0, level = 0;
        loop.decay_per_h = decay;
        loop.start_mg_l = 30;
        assert_ok(wash_reach(&loop, 300, &reach, &time_h));
        assert_int_equal(reach, WASH_REACHES);
        assert_ok(wash_level(&loop, time_h, &level));
        assert_near(level, 300, 1e-12);
    }
}

static void the_make_up_holds_the_limit(void **state)
{
    (void)state;
    struct wash_loop loop = tank;
    struct wash_steady steady;
    double make_up = 0;
    loop.supply_mg_l = 40;
    loop.decay_per_h = 0.02;
    assert_ok(wash_make_up(&loop, 500, &make_up));
    loop.blow_down_l_h = make_up;
    loop.carry_out_l_h = 0;
    assert_ok(wash_steady(&loop, &steady));
    assert_near(steady.steady_mg_l, 500, 1e-12);
}

static void a_loop_that_loses_nothing_rises_in_a_line(void **state)
{
    (void)state;
    struct wash_loop loop = {.volume_l = 100, .load_g_h = 1, .start_mg_l = 5};
    struct wash_steady steady;
    enum wash_reach reach;
    double level = 0, time_h = 0;
    assert_ok(wash_steady(&loop, &steady));
    assert_false(steady.has_steady);
    assert_ok(wash_level(&loop, 7, &level));
    assert_near(level, 75, 0);
    assert_ok(wash_reach(&loop, 75, &reach, &time_h));
    assert_near(time_h, 7, 0);
    /* Hardly any loss gives hardly another level. */
    loop.decay_per_h = 1e-13;
    assert_ok(wash_level(&loop, 7, &level));
    assert_near(level, 75, 1e-11);
}

static void nothing_in_nothing_out(void **state)
{
    (void)state;
    struct wash_loop loop = {.volume_l = 100};
    enum wash_reach reach;
    double level = 1, time_h = 1, make_up = 1;
    assert_ok(wash_level(&loop, 7, &level));
    assert_near(level, 0, 0);
    assert_ok(wash_reach(&loop, 1, &reach, &time_h));
    assert_int_equal(reach, WASH_STAYS_BELOW);
    assert_ok(wash_make_up(&loop, 1, &make_up));
    assert_near(make_up, 0, 0);
    loop.start_mg_l = 1;
    assert_ok(wash_reach(&loop, 1, &reach, &time_h));
    assert_int_equal(reach, WASH_ABOVE_NOW);
    assert_near(time_h, 0, 0);
}

static void what_means_nothing_is_refused(void **state)
{
    (void)state;
    struct wash_loop loop = tank;
    double out = 1;
    loop.volume_l = 0;
    assert_string_equal(wash_level(&loop, 1, &out).field, "volume_l");
    assert_near(out, 0, 0);
    loop = tank;
    loop.decay_per_h = (double)NAN;
    assert_code(wash_level(&loop, 1, &out), NUMBER_BAD);
    loop = tank;
    assert_string_equal(wash_level(&loop, -1, &out).field, "time_h");
    assert_code(wash_level(&loop, (double)INFINITY, &out), NUMBER_BAD);
    loop.supply_mg_l = 600;
    assert_string_equal(wash_make_up(&loop, 600, &out).field, "limit_mg_l");
    assert_string_equal(wash_make_up(&loop, 500, &out).field, "limit_mg_l");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_limit_is_reached_when_the_level_says_so),
        cmocka_unit_test(the_make_up_holds_the_limit),
        cmocka_unit_test(a_loop_that_loses_nothing_rises_in_a_line),
        cmocka_unit_test(nothing_in_nothing_out),
        cmocka_unit_test(what_means_nothing_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
