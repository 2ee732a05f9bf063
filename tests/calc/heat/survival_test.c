#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/survival.h"

static void every_model_with_nothing_special_is_a_straight_line(void **state)
{
    (void)state;
    const struct survival models[] = {
        {.model = SURVIVAL_LOG_LINEAR},
        {.model = SURVIVAL_WEIBULL, .shape = 1},
        {.model = SURVIVAL_PELEG, .shape = 1},
        {.model = SURVIVAL_GEERAERD, .shoulder = 0},
        {.model = SURVIVAL_BIPHASIC, .fraction = 1},
        {.model = SURVIVAL_LOG_LINEAR, .has_tail = true, .log_initial = 6, .log_tail = -30},
    };
    for (size_t i = 0; i < sizeof models / sizeof models[0]; i++) {
        assert_ok(survival_check(&models[i]));
        for (double dose = 0; dose < 14; dose += 0.7) {
            assert_true(fabs(survival_reduction(&models[i], dose, 99) - dose) < 1e-9);
        }
        assert_near(survival_time_s(&models[i], 0.5, 1, 3), 6, 1e-12);
        assert_near(survival_time_s(&models[i], 0.5, 1, 0), 0, 0);
    }
}

static void large_doses_do_not_run_out_of_numbers(void **state)
{
    (void)state;
    const struct survival shoulder = {.model = SURVIVAL_GEERAERD, .shoulder = 200};
    const struct survival two = {.model = SURVIVAL_BIPHASIC, .fraction = 0.9};
    assert_near(survival_reduction(&shoulder, 10000, 0), 10000 - 200 / M_LN10, 1e-12);
    assert_near(survival_reduction(&two, 100000, 2000), 2001, 1e-12);
    assert_near(survival_reduction(&two, 0, 0), 0, 0);
}

static void a_tail_is_never_passed(void **state)
{
    (void)state;
    const struct survival s = {
        .model = SURVIVAL_WEIBULL, .shape = 2, .has_tail = true, .log_initial = 7, .log_tail = 2};
    assert_near(survival_reduction(&s, 1000, 0), 5, 1e-12);
    assert_true(isinf(survival_time_s(&s, 1, 0, 5)));
    assert_true(isfinite(survival_time_s(&s, 1, 0, 4.9)));
}

/* p may vary with temperature: stepping by equivalent time, delta at the middle of each step, must
 * come to the closed form where p is constant. Computed here: 40 to 65 C in ten minutes. */
static void stepping_by_equivalent_time_agrees(void **state)
{
    (void)state;
    enum { STEPS = 20000 };
    static const struct {
        double p, reduction;
    } cases[] = {{1.5, 18.921211}, {0.7, 3.943751}};
    for (size_t i = 0; i < 2; i++) {
        double p = cases[i].p, done = 0, dose = 0;
        for (int k = 0; k < STEPS; k++) {
            double delta = pow(10, (60 - (40 + 25 * (k + 0.5) / STEPS)) / 6);
            double dt = 10.0 / STEPS;
            double before = delta * pow(done, 1 / p);
            done = pow((before + dt) / delta, p);
            dose += dt / delta;
        }
        const struct survival s = {.model = SURVIVAL_WEIBULL, .shape = p};
        assert_true(fabs(done - cases[i].reduction) < 2e-6);
        assert_near(survival_reduction(&s, dose, 0), done, 1e-9);
    }
}

static void the_dose_of_peleg_goes_with_time(void **state)
{
    (void)state;
    double whole = survival_peleg_dose(0.3, 102.3, 0.35, 4, 90, 121);
    double halves = survival_peleg_dose(0.3, 102.3, 0.35, 2, 90, 105.5) +
                    survival_peleg_dose(0.3, 102.3, 0.35, 2, 105.5, 121);
    assert_near(whole, halves, 1e-9);
    assert_near(survival_peleg_dose(0.3, 102.3, 0.35, 4, 121, 90), whole, 1e-12);
    assert_near(survival_peleg_dose(0.3, 102.3, 1, 2, 110, 110),
                2 * survival_peleg_b(0.3, 102.3, 110), 1e-14);
}

static void models_that_mean_nothing_are_named(void **state)
{
    (void)state;
    static const struct {
        struct survival s;
        const char *field;
    } cases[] = {
        {{.model = SURVIVAL_WEIBULL, .shape = 0}, "shape"},
        {{.model = SURVIVAL_GEERAERD, .shoulder = -1}, "shoulder"},
        {{.model = SURVIVAL_BIPHASIC, .fraction = 1.1}, "fraction"},
        {{.has_tail = true, .log_initial = 2, .log_tail = 3}, "log_tail"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct result r = survival_check(&cases[i].s);
        assert_code(r, FIELD_RANGE);
        assert_string_equal(r.field, cases[i].field);
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_model_with_nothing_special_is_a_straight_line),
        cmocka_unit_test(large_doses_do_not_run_out_of_numbers),
        cmocka_unit_test(a_tail_is_never_passed),
        cmocka_unit_test(stepping_by_equivalent_time_agrees),
        cmocka_unit_test(the_dose_of_peleg_goes_with_time),
        cmocka_unit_test(models_that_mean_nothing_are_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
