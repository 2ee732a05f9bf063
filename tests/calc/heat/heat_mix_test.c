#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/heat_mix.h"

static const struct heat_stuff seed = {.mass_kg = 100, .heat_j_kg_k = 2000, .temp_c = 20};

static void the_bath_that_is_worked_out_comes_to_the_temperature(void **state)
{
    (void)state;
    double water_kg, mix_c;
    assert_ok(heat_bath_kg(&seed, 4180, 90, 85, &water_kg));
    struct heat_stuff water = {.mass_kg = water_kg, .heat_j_kg_k = 4180, .temp_c = 90};
    assert_ok(heat_mix_c(&seed, &water, &mix_c));
    assert_near(mix_c, 85, 1e-12);
}

static void cooling_water_comes_to_the_temperature(void **state)
{
    (void)state;
    struct heat_stuff hot = seed;
    struct heat_cooling r;
    double mix_c;
    hot.temp_c = 85;
    assert_ok(heat_cooling(&hot, 0, 4180, 4, 25, &r));
    struct heat_stuff water = {.mass_kg = r.water_kg, .heat_j_kg_k = 4180, .temp_c = 4};
    assert_ok(heat_mix_c(&hot, &water, &mix_c));
    assert_near(mix_c, 25, 1e-12);
    assert_true(r.ice_kg < r.water_kg);
}

static void the_impossible_is_named(void **state)
{
    (void)state;
    double kg;
    struct heat_cooling r;
    struct heat_stuff nothing = {.mass_kg = 0, .heat_j_kg_k = 2000, .temp_c = 20};
    struct result got = heat_bath_kg(&seed, 4180, 90, 90, &kg);
    assert_code(got, FIELD_RANGE);
    assert_string_equal(got.field, "least_c");
    assert_code(heat_bath_kg(&seed, 4180, 90, 20, &kg), FIELD_RANGE);
    assert_code(heat_bath_kg(&nothing, 4180, 90, 85, &kg), FIELD_RANGE);
    assert_code(heat_cooling(&seed, 0, 4180, 4, 25, &r), FIELD_RANGE);
    assert_code(heat_cooling(&seed, -1, 4180, 4, 10, &r), FIELD_RANGE);
    assert_code(heat_cooling(&seed, 0, 4180, (double)NAN, 10, &r), NUMBER_BAD);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_bath_that_is_worked_out_comes_to_the_temperature),
        cmocka_unit_test(cooling_water_comes_to_the_temperature),
        cmocka_unit_test(the_impossible_is_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
