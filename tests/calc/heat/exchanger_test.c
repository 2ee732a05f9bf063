#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/exchanger.h"

static const struct exchanger_in plant = {.flow_kg_s = 0.5,
                                          .heat_j_kg_k = 4000,
                                          .in_c = 5,
                                          .past_c = 75,
                                          .out_c = 5,
                                          .regeneration = 0.8};

static void what_goes_in_comes_out(void **state)
{
    (void)state;
    struct exchanger r;
    double regeneration;
    assert_ok(exchanger_work(&plant, &r));
    assert_near(r.heater_w + r.regenerator_w, r.total_w, 1e-12);
    assert_near(r.cooler_w, r.heater_w, 1e-12);
    assert_near(r.ua_w_k * r.difference_c, r.regenerator_w, 1e-12);
    assert_ok(exchanger_regeneration(5, r.regen_c, 75, &regeneration));
    assert_near(regeneration, 0.8, 1e-12);
    assert_near(r.area_m2, 0, 0);
}

static void none_comes_back_and_nothing_is_cooled(void **state)
{
    (void)state;
    struct exchanger r;
    struct exchanger_in in = plant;
    in.regeneration = 0;
    in.out_c = 80;
    assert_ok(exchanger_work(&in, &r));
    assert_near(r.regen_c, 5, 0);
    assert_near(r.cooler_w, 0, 0);
    assert_near(r.ntu, 0, 0);
}

static void equal_differences_have_their_own_mean(void **state)
{
    (void)state;
    double same, nearly;
    assert_ok(exchanger_lmtd(80, 70, 60, 70, &same));
    assert_near(same, 10, 1e-14);
    assert_ok(exchanger_lmtd(80.0001, 70, 60, 70, &nearly));
    assert_near(nearly, 10.00005, 1e-9);
}

static void temperatures_in_the_wrong_order_are_named(void **state)
{
    (void)state;
    struct exchanger r;
    struct exchanger_in in = plant;
    double out;
    in.past_c = 5;
    struct result got = exchanger_work(&in, &r);
    assert_code(got, FIELD_RANGE);
    assert_string_equal(got.field, "past_c");
    in = plant;
    in.regeneration = 1;
    assert_code(exchanger_work(&in, &r), FIELD_RANGE);
    assert_code(exchanger_regeneration(5, 4, 75, &out), FIELD_RANGE);
    assert_code(exchanger_lmtd(70, 65, 60, 70, &out), FIELD_RANGE);
    assert_code(exchanger_lmtd((double)NAN, 65, 60, 70, &out), NUMBER_BAD);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_goes_in_comes_out),
        cmocka_unit_test(none_comes_back_and_nothing_is_cooled),
        cmocka_unit_test(equal_differences_have_their_own_mean),
        cmocka_unit_test(temperatures_in_the_wrong_order_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
