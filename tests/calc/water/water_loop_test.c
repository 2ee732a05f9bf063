#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/water/water_loop.h"

static void water_and_salt_balance(void **state)
{
    (void)state;
    for (double drift = 0; drift < 40; drift += 7) {
        struct water_cycles r;
        assert_ok(water_cycles(100, drift, 3, &r));
        assert_near(r.make_up_l_h, 100 + r.blow_down_l_h + drift, 1e-15);
        assert_near(r.cycles, 3, 1e-14);
    }
    struct water_cycles still;
    assert_ok(water_cycles(0, 0, 3, &still));
    assert_near(still.make_up_l_h, 0, 0);
    assert_near(still.cycles, 0, 0);
}

static void one_pass_closes(void **state)
{
    (void)state;
    for (double reuse = 0; reuse <= 1; reuse += 0.125) {
        struct water_reuse r;
        assert_ok(water_reuse(reuse, 0.4, 30, 90, &r));
        assert_near((1 - reuse) * 30 + reuse * 0.6 * r.out_mg_l, r.in_mg_l, 1e-13);
        assert_near(r.out_mg_l - r.in_mg_l, 90, 1e-13);
    }
}

static void what_means_nothing_is_refused(void **state)
{
    (void)state;
    struct water_cycles c;
    struct water_reuse r;
    assert_string_equal(water_cycles(1, 0, 1, &c).field, "cycles");
    assert_code(water_cycles((double)NAN, 0, 3, &c), NUMBER_BAD);
    assert_string_equal(water_cycles(1, -1, 3, &c).field, "drift_l_h");
    assert_string_equal(water_reuse(1, 0, 1, 1, &r).field, "reuse");
    assert_string_equal(water_reuse(0.5, 1.1, 1, 1, &r).field, "removal");
    assert_code(water_reuse((double)INFINITY, 0, 1, 1, &r), NUMBER_BAD);
    assert_near(r.in_mg_l, 0, 0);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(water_and_salt_balance),
        cmocka_unit_test(one_pass_closes),
        cmocka_unit_test(what_means_nothing_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
