#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/food_properties.h"

static void a_single_component_is_itself(void **state)
{
    (void)state;
    struct food_properties p;
    const double water[FOOD_COMPONENTS] = {[FOOD_WATER] = 1};
    assert_ok(food_properties(water, 20, &p));
    /* Choi and Okos 1986 (published (seen)), worked out at 20 C. */
    assert_near(p.density_kg_m3, 995.740, 1e-6);
    assert_near(p.heat_j_kg_k, 4176.57, 1e-6);
    assert_near(p.diffusivity_m2_s, p.conductivity_w_m_k / p.density_kg_m3 / p.heat_j_kg_k, 1e-14);
}

/* A slope of -2.7604e-3, as many copies print it, would make fat an impossible conductor. */
static void fat_conducts_at_every_temperature(void **state)
{
    (void)state;
    struct food_properties p;
    const double fat[FOOD_COMPONENTS] = {[FOOD_FAT] = 1};
    for (double temp_c = 0; temp_c <= 150; temp_c += 10) {
        assert_ok(food_properties(fat, temp_c, &p));
        assert_true(p.conductivity_w_m_k > 0.12 && p.conductivity_w_m_k < 0.19);
    }
}

static void viscosity_falls_with_temperature(void **state)
{
    (void)state;
    double cold, warm;
    assert_ok(juice_viscosity(5, 20000, 20, &cold));
    assert_near(cold, 5, 1e-14);
    assert_ok(juice_viscosity(5, 20000, 80, &warm));
    assert_true(warm < cold && warm > 0);
    assert_ok(juice_viscosity(5, 0, 80, &warm));
    assert_near(warm, 5, 0);
    assert_code(juice_viscosity(0, 20000, 20, &cold), FIELD_RANGE);
    assert_code(juice_viscosity(5, 20000, (double)NAN, &cold), NUMBER_BAD);
}

static void shares_that_mean_nothing_are_named(void **state)
{
    (void)state;
    struct food_properties p;
    double share[FOOD_COMPONENTS] = {[FOOD_WATER] = 0.9};
    struct result r = food_properties(share, 20, &p);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "sum");
    share[FOOD_ASH] = -0.1;
    r = food_properties(share, 20, &p);
    assert_string_equal(r.field, "ash");
    share[FOOD_ASH] = (double)NAN;
    assert_code(food_properties(share, 20, &p), NUMBER_BAD);
    assert_code(food_properties(share, -1, &p), FIELD_RANGE);
    assert_code(juice_properties(81, 20, &p), FIELD_RANGE);
    assert_ok(juice_properties(0, 20, &p));
    assert_near(p.density_kg_m3, 995.740, 1e-6);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_single_component_is_itself),
        cmocka_unit_test(fat_conducts_at_every_temperature),
        cmocka_unit_test(viscosity_falls_with_temperature),
        cmocka_unit_test(shares_that_mean_nothing_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
