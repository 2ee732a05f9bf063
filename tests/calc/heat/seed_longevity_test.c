#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/seed_longevity.h"

static void every_species_can_be_found(void **state)
{
    (void)state;
    for (size_t i = 0; i < longevity_species_count(); i++) {
        const struct longevity_species *s = longevity_species_at(i);
        assert_ptr_equal(longevity_species_find(s->name), s);
        double a, b;
        assert_ok(longevity_sigma_d(s, 8, 60, &a));
        assert_ok(longevity_sigma_d(s, 8, 60 + longevity_z_c(s, 60) / 1000, &b));
        assert_true(fabs(log10(a / b) - 0.001) < 1e-6);
    }
    assert_null(longevity_species_find("mung"));
}

static void a_dose_adds_up(void **state)
{
    (void)state;
    const struct longevity_species *s = longevity_species_find("soybean");
    double sigma;
    assert_ok(longevity_sigma_d(s, 8, 60, &sigma));
    assert_near(longevity_dose(s, 8, sigma, 60, 60), 1, 1e-12);
    double whole = longevity_dose(s, 8, 4, 30, 70);
    assert_near(longevity_dose(s, 8, 1, 30, 40) + longevity_dose(s, 8, 3, 40, 70), whole, 1e-8);
    assert_near(longevity_dose(s, 8, 4, 70, 30), whole, 1e-12);
}

static void probits_and_shares_go_back_and_forth(void **state)
{
    (void)state;
    for (double share = 0.001; share < 1; share += 0.037) {
        assert_near(probit_share(probit(share)), share, 1e-12);
        assert_true(fabs(probit(share) + probit(1 - share)) < 1e-9);
    }
}

static void the_range_is_that_of_the_equation(void **state)
{
    (void)state;
    const struct longevity_species *s = longevity_species_at(0);
    double sigma;
    assert_false(longevity_extrapolates(5, 90));
    assert_true(longevity_extrapolates(4.9, 20) && longevity_extrapolates(10, 90.1));
    assert_true(longevity_extrapolates(25.1, 20) && longevity_extrapolates(10, -20.1));
    assert_code(longevity_sigma_d(s, 0, 20, &sigma), FIELD_RANGE);
    assert_code(longevity_sigma_d(s, 10, (double)NAN, &sigma), NUMBER_BAD);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_species_can_be_found),
        cmocka_unit_test(a_dose_adds_up),
        cmocka_unit_test(probits_and_shares_go_back_and_forth),
        cmocka_unit_test(the_range_is_that_of_the_equation),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
