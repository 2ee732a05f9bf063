#include "../../support.h"

#include "../near.h"
#include "base/random.h"
#include "calc/heat/lethal_rate.h"

static struct lethal_scale scale(double reference_c, double z_c, double floor_c, double cap_c)
{
    struct lethal_scale out;
    assert_ok(lethal_scale_make(reference_c, z_c, floor_c, cap_c, &out));
    return out;
}

static double exact_s(const struct lethal_scale *s, double dt_s, double from_c, double to_c)
{
    return lethal_linear_s(s, dt_s, from_c, lethal_rate(s, from_c), to_c, lethal_rate(s, to_c));
}

/* Published worked problem on thermal process time, justaaa.com/other/1165620, author not shown
 * (published (seen)): the sum of its lethal rates at the right ends, 27.403003 min. */
static void the_published_rectangle_sum_comes_out(void **state)
{
    (void)state;
    static const double temp_c[] = {105, 130, 135, 125, 115, 105};
    struct lethal_scale s = scale(121.1, 11, -INFINITY, INFINITY);
    double sum_min = 0;
    for (size_t i = 0; i < 6; i++) {
        sum_min += lethal_rate(&s, temp_c[i]);
    }
    assert_true(fabs(sum_min - 27.403003) <= 2e-6);
}

/* Same history; the exact segments are computed here from the closed form. */
static void its_exact_segments_come_out(void **state)
{
    (void)state;
    static const double temp_c[] = {80, 105, 130, 135, 125, 115, 105};
    static const double wanted_min[] = {0.006535, 1.224627, 11.376490,
                                        7.685497, 0.947504, 0.116813};
    struct lethal_scale s = scale(121.1, 11, -INFINITY, INFINITY);
    for (size_t i = 0; i < 6; i++) {
        assert_true(fabs(exact_s(&s, 1, temp_c[i], temp_c[i + 1]) - wanted_min[i]) <= 5.0001e-7);
    }
}

/* Computed here: (u/2) coth(u/2) and (u/2)/sinh(u/2) (cosh(u/2) + 2)/3, u = ln10 dT/z. */
static void trapezoid_and_simpson_overstate_as_the_table_says(void **state)
{
    (void)state;
    static const double step_z[] = {0.1, 0.2, 0.25, 0.5, 1.0, 1.5, 2.0};
    static const double trapezoid[] = {1.004414, 1.017611, 1.027463, 1.108091,
                                       1.407135, 1.839727, 2.349102};
    static const double simpson[] = {1.000001, 1.000016, 1.000038, 1.000587,
                                     1.008409, 1.036077, 1.093146};
    struct lethal_scale s = scale(70, 10, -INFINITY, INFINITY);
    for (size_t i = 0; i < 7; i++) {
        double to_c = 70 + 10 * step_z[i];
        double low = lethal_rate(&s, 70);
        double high = lethal_rate(&s, to_c);
        double middle = lethal_rate(&s, (70 + to_c) / 2);
        double exact = exact_s(&s, 1, 70, to_c);
        assert_true(fabs((low + high) / 2 / exact - trapezoid[i]) <= 5.0001e-7);
        assert_true(fabs((low + 4 * middle + high) / 6 / exact - simpson[i]) <= 5.0001e-7);
    }
}

/* The series for small steps and the quotient for large ones must meet. */
static void the_closed_form_is_good_at_every_step(void **state)
{
    (void)state;
    struct lethal_scale s = scale(70, 10, -INFINITY, INFINITY);
    for (double step_c = 1e-9; step_c < 50; step_c *= 1.3) {
        double u = step_c * M_LN10 / 10;
        assert_near(exact_s(&s, 7, 70, 70 + step_c), 7 * expm1(u) / u, 2e-14);
        assert_near(exact_s(&s, 7, 70 + step_c, 70), 7 * expm1(u) / u, 2e-14);
        assert_near(exact_s(&s, 7, 70, 70 - step_c), 7 * -expm1(-u) / u, 2e-14);
    }
    assert_near(exact_s(&s, 7, 70, 70), 7, 0);
}

/* Limit of a ramp that leaves a temperature: L z / (ln10 rate). */
static void a_long_ramp_reaches_its_limit(void **state)
{
    (void)state;
    struct lethal_scale s = scale(70, 5, -INFINITY, INFINITY);
    assert_near(exact_s(&s, 100, 72, -28), lethal_rate(&s, 72) * 5 / M_LN10, 1e-9);
}

static void floor_and_cap_split_the_line(void **state)
{
    (void)state;
    struct lethal_scale open = scale(70, 10, -INFINITY, INFINITY);
    struct lethal_scale cut = scale(70, 10, 65, 75);
    /* 60 to 80 C in 20 s: 65 to 75 C exactly, then 5 s at the cap. */
    double wanted = exact_s(&open, 10, 65, 75) + 5 * lethal_rate(&open, 75);
    assert_near(lethal_piece_s(&cut, 20, 60, 80), wanted, 1e-14);
    assert_near(lethal_piece_s(&cut, 20, 80, 60), wanted, 1e-14);
    assert_near(lethal_piece_s(&cut, 20, 60, 64.9), 0, 0);
    assert_near(lethal_piece_s(&cut, 20, 64, 64), 0, 0);
    assert_near(lethal_piece_s(&cut, 20, 65, 65), 20 * lethal_rate(&open, 65), 1e-15);
    assert_near(lethal_piece_s(&cut, 20, 90, 90), 20 * lethal_rate(&open, 75), 1e-15);
    assert_near(lethal_piece_s(&cut, 20, 80, 90), 20 * lethal_rate(&open, 75), 1e-14);
    assert_near(lethal_piece_s(&cut, 20, 66, 74), exact_s(&open, 20, 66, 74), 1e-14);
    /* A limit above the cap: what is at or above the limit counts as the cap does. */
    struct lethal_scale high = scale(70, 10, 78, 75);
    assert_near(lethal_piece_s(&high, 20, 60, 80), 2 * lethal_rate(&open, 75), 1e-13);
    assert_near(lethal_piece_s(&high, 20, 60, 77), 0, 0);
}

static void known_rates_change_nothing(void **state)
{
    (void)state;
    struct random random;
    random_seed(&random, 11);
    struct lethal_scale s = scale(70, 8, 60, 80);
    for (int i = 0; i < 2000; i++) {
        double from_c = 50 + 40 * random_unit(&random);
        double to_c = 50 + 40 * random_unit(&random);
        assert_near(
            lethal_credit_s(&s, 3, from_c, lethal_rate(&s, from_c), to_c, lethal_rate(&s, to_c)),
            lethal_piece_s(&s, 3, from_c, to_c), 1e-12);
    }
}

static void scales_that_mean_nothing_are_refused(void **state)
{
    (void)state;
    static const struct {
        double reference_c, z_c, floor_c, cap_c;
        enum code code;
        const char *field;
    } cases[] = {
        {70, 0, 0, 0, CODE_FIELD_RANGE, "z_c"},
        {70, -7, 0, 0, CODE_FIELD_RANGE, "z_c"},
        {70, 2e12, 0, 0, CODE_FIELD_RANGE, "z_c"},
        {70, (double)INFINITY, 0, 0, CODE_FIELD_RANGE, "z_c"},
        {70, (double)NAN, 0, 0, CODE_NUMBER_BAD, "z_c"},
        {301, 7, 0, 0, CODE_FIELD_RANGE, "reference_c"},
        {-61, 7, 0, 0, CODE_FIELD_RANGE, "reference_c"},
        {(double)NAN, 7, 0, 0, CODE_NUMBER_BAD, "reference_c"},
        {70, 7, (double)NAN, 0, CODE_NUMBER_BAD, "floor_c"},
        {70, 7, 0, (double)NAN, CODE_NUMBER_BAD, "cap_c"},
    };
    struct lethal_scale edge;
    assert_ok(lethal_scale_make(-60, 1e12, 0, 0, &edge));
    assert_ok(lethal_scale_make(300, 1e-3, 0, 0, &edge));
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        struct lethal_scale s;
        struct result r = lethal_scale_make(cases[i].reference_c, cases[i].z_c, cases[i].floor_c,
                                            cases[i].cap_c, &s);
        assert_code_at(r, cases[i].code, __FILE__, __LINE__);
        assert_string_equal(r.field, cases[i].field);
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_published_rectangle_sum_comes_out),
        cmocka_unit_test(its_exact_segments_come_out),
        cmocka_unit_test(trapezoid_and_simpson_overstate_as_the_table_says),
        cmocka_unit_test(the_closed_form_is_good_at_every_step),
        cmocka_unit_test(a_long_ramp_reaches_its_limit),
        cmocka_unit_test(floor_and_cap_split_the_line),
        cmocka_unit_test(known_rates_change_nothing),
        cmocka_unit_test(scales_that_mean_nothing_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
