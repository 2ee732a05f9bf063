#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/growth_rate.h"

/* US FDA, USDA-FSIS and CDC 2003, Listeria monocytogenes risk assessment, appendix 8, table 1
 * (published (seen)): growth, days, temperature, and the rate at 5 C that it prints. */
static const struct {
    double growth_log, time_d, temp_c, printed;
} literature[] = {
    {2.1, 28, 4, 0.107},           {5.4, 21, 8, 0.116},  {2.0, 21, 4, 0.136},
    {4.6, 14, 8, 0.149},           {0.5, 20, 4, 0.035},  {4, 650 / 24.0, 5, 0.148},
    {4.25, 125 / 24.0, 10, 0.249}, {3.9, 28, 4, 0.198},  {3.5, 9, 10, 0.119},
    {1.25, 10, 4, 0.177},          {4.5, 15, 10, 0.092}, {1, 10, 4, 0.142},
    {6.5, 20, 9, 0.120},           {4, 7, 10, 0.175},    {3.7, 7, 10, 0.162},
};

enum { LITERATURE = sizeof literature / sizeof literature[0] };

static double misfit(double t0_c)
{
    double sum = 0;
    for (size_t i = 0; i < LITERATURE; i++) {
        double got = 0;
        assert_ok(root_egr5(literature[i].growth_log, literature[i].time_d, literature[i].temp_c,
                            t0_c, &got));
        double off = got / literature[i].printed - 1;
        sum += off * off;
    }
    return sum;
}

/* The lowest temperature of growth, free, comes out of that table: -1.194 C (computed here). */
static void the_table_was_made_with_this_lowest_temperature(void **state)
{
    (void)state;
    double low = -3;
    double high = 0;
    for (int i = 0; i < 80; i++) {
        double a = low + (high - low) / 3;
        double b = high - (high - low) / 3;
        if (misfit(a) < misfit(b)) {
            high = b;
        } else {
            low = a;
        }
    }
    assert_true(fabs(low + 1.194) <= 0.005);
}

static void each_share_is_one_at_its_best_and_none_outside(void **state)
{
    (void)state;
    struct cardinal_growth g = cardinal_growth_listeria(10);
    assert_ok(cardinal_growth_check(&g));
    assert_near(cardinal_temp(&g, g.temp_opt_c), 1, 1e-15);
    assert_near(cardinal_ph(&g), 1, 0);
    assert_near(cardinal_aw(&g), 1, 0);
    assert_near(cardinal_rate(&g, g.temp_opt_c), 10, 1e-14);
    assert_near(gamma_temp(&g, 80), 1, 0);
    for (double temp_c = -10; temp_c < 60; temp_c += 0.37) {
        double share = cardinal_temp(&g, temp_c);
        assert_true(share >= 0 && share <= 1);
    }
    g.aw = 1;
    assert_near(cardinal_aw(&g), 1, 0);
    g.aw = 0.5;
    g.ph = 2;
    assert_near(cardinal_aw(&g), 0, 0);
    assert_near(cardinal_ph(&g), 0, 0);
    g.ph = 12;
    assert_near(cardinal_rate(&g, 20), 0, 0);
}

static void below_its_lowest_temperature_nothing_grows(void **state)
{
    (void)state;
    struct root_growth root = root_growth_listeria(0.3);
    assert_near(root_rate(&root, root.t0_c), 0, 0);
    assert_near(root_rate(&root, -20), 0, 0);
    assert_near(root_rate(&root, 5), 0.3, 1e-15);
    assert_near(generation_h(24 * log10(2)), 1, 1e-15);
}

static void double_nothing(void *argument)
{
    (void)argument;
    generation_h(0);
}

static void what_means_nothing_is_refused(void **state)
{
    (void)state;
    double out = 1;
    struct root_growth root = {-1, -1.18};
    assert_string_equal(root_growth_check(&root).field, "egr5_log_d");
    root = (struct root_growth){1, 5};
    assert_string_equal(root_growth_check(&root).field, "t0_c");
    struct cardinal_growth g = cardinal_growth_listeria((double)NAN);
    assert_code(cardinal_growth_check(&g), NUMBER_BAD);
    g = cardinal_growth_listeria(1);
    g.temp_opt_c = g.temp_min_c;
    assert_string_equal(cardinal_growth_check(&g).field, "temp_opt_c");
    g = cardinal_growth_listeria(1);
    g.aw = 1.01;
    assert_string_equal(cardinal_growth_check(&g).field, "aw");
    assert_string_equal(root_egr5(1, 0, 5, -1.18, &out).field, "time_d");
    assert_string_equal(root_egr5(1, 1, -1.18, -1.18, &out).field, "temp_c");
    assert_string_equal(root_egr5(1, 1, 26, -1.18, &out).field, "temp_c");
    assert_near(out, 0, 0);
    assert_aborts(double_nothing, NULL);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_table_was_made_with_this_lowest_temperature),
        cmocka_unit_test(each_share_is_one_at_its_best_and_none_outside),
        cmocka_unit_test(below_its_lowest_temperature_nothing_grows),
        cmocka_unit_test(what_means_nothing_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
