#include "../../support.h"

#include "../near.h"
#include "calc/microbe/mpn.h"

static const struct mpn_settings usual = {1.959963985, 0.05};

/* The score at the number found, from the formula in the header. */
static double left_over(const struct mpn_level *levels, size_t count, double mpn)
{
    double sum = 0, all = 0;
    for (size_t i = 0; i < count; i++) {
        double v = levels[i].amount;
        sum += (double)levels[i].positive * v / -expm1(-mpn * v);
        all += (double)levels[i].tubes * v;
    }
    return (sum - all) / all;
}

static void it_solves_the_score_in_wide_series(void **state)
{
    (void)state;
    struct mpn_report r;
    for (double first = 1e-5; first <= 1e6; first *= 10) {
        for (int64_t x = 0; x < 1000; x += 37) {
            struct mpn_level levels[] = {
                {first, 50, 50 - (x > 900)}, {first / 10, 1000, x}, {first / 1000, 3, x % 3}};
            assert_ok(mpn(levels, 3, &usual, &r));
            assert_true(fabs(left_over(levels, 3, r.mpn)) < 1e-12);
            assert_true(r.jarvis_low < r.mpn && r.mpn < r.jarvis_high);
            assert_true(r.ratio_low < r.mpn && r.mpn < r.ratio_high);
            assert_true(r.rarity > 0 && r.rarity <= 1);
        }
    }
}

static void amounts_only_set_the_unit(void **state)
{
    (void)state;
    struct mpn_report small, large;
    struct mpn_level levels[] = {{0.1, 5, 4}, {0.01, 5, 2}, {0.001, 5, 1}};
    assert_ok(mpn(levels, 3, &usual, &small));
    for (size_t i = 0; i < 3; i++) {
        levels[i].amount *= 1000;
    }
    assert_ok(mpn(levels, 3, &usual, &large));
    assert_near(large.mpn, small.mpn / 1000, 1e-12);
    assert_near(large.jarvis_high, small.jarvis_high / 1000, 1e-12);
    assert_near(large.ratio_low, small.ratio_low / 1000, 1e-9);
    assert_near(large.rarity, small.rarity, 1e-12);
}

static void where_all_tubes_agree_there_is_one_limit(void **state)
{
    (void)state;
    struct mpn_report r;
    struct mpn_level levels[] = {{0.1, 3, 0}, {0.01, 3, 0}};
    assert_ok(mpn(levels, 2, &usual, &r));
    assert_int_equal(r.state, MPN_NONE_POSITIVE);
    assert_near(r.mpn, 0, 0);
    assert_near(r.one_sided, -log(0.05) / 0.33, 1e-12);
    struct mpn_level one = {0.1, 1, 1};
    assert_ok(mpn(&one, 1, &usual, &r));
    assert_int_equal(r.state, MPN_ALL_POSITIVE);
    assert_near(r.one_sided, -log(0.95) / 0.1, 1e-9);
    assert_near(r.bound, 0, 0);
    assert_near(r.rarity, 1, 0);
    one.amount = 1e6;
    one.tubes = one.positive = MPN_TUBES_MAX;
    assert_ok(mpn(&one, 1, &usual, &r));
    assert_near(r.one_sided, -log1p(-pow(0.05, 0.001)) / 1e6, 1e-9);
    assert_true(r.bound > r.one_sided);
    one.amount = 1e-9;
    assert_ok(mpn(&one, 1, &usual, &r));
    assert_true(isfinite(r.bound) && isfinite(r.one_sided));
}

static void improbable_tubes_are_suspect(void **state)
{
    (void)state;
    struct mpn_report r;
    struct mpn_level levels[] = {{0.1, 5, 0}, {0.01, 5, 5}, {0.001, 5, 0}};
    assert_ok(mpn(levels, 3, &usual, &r));
    assert_true(r.suspect);
    assert_int_equal(r.category, 3);
    levels[0].positive = 5;
    levels[1].positive = 2;
    assert_ok(mpn(levels, 3, &usual, &r));
    assert_false(r.suspect);
    assert_int_equal(r.category, 1);
}

static void amounts_too_far_apart_give_no_interval(void **state)
{
    (void)state;
    struct mpn_report r;
    struct mpn_level levels[] = {{1e6, 1, 1}, {1e-9, 1, 0}};
    assert_code(mpn(levels, 2, &usual, &r), CALC_OVERFLOW);
}

static void values_outside_are_refused_by_name(void **state)
{
    (void)state;
    struct mpn_report r;
    struct mpn_level levels[MPN_LEVELS_MAX + 1] = {{0.1, 3, 1}, {0.01, 3, 4}};
    struct result refused = mpn(levels, 2, &usual, &r);
    assert_code(refused, FIELD_RANGE);
    assert_string_equal(refused.field, "levels[1][2]");
    levels[1] = (struct mpn_level){0, 3, 1};
    refused = mpn(levels, 2, &usual, &r);
    assert_code(refused, FIELD_RANGE);
    assert_string_equal(refused.field, "levels[1][0]");
    levels[1] = (struct mpn_level){0.01, 0, 0};
    assert_code(mpn(levels, 2, &usual, &r), FIELD_RANGE);
    levels[1] = (struct mpn_level){NAN, 1, 0};
    assert_code(mpn(levels, 2, &usual, &r), NUMBER_BAD);
    assert_code(mpn(levels, 0, &usual, &r), FIELD_RANGE);
    assert_code(mpn(levels, MPN_LEVELS_MAX + 1, &usual, &r), FIELD_RANGE);
    struct mpn_settings set = {NAN, 0.05};
    assert_code(mpn(levels, 1, &set, &r), NUMBER_BAD);
    set = (struct mpn_settings){2, 0};
    assert_code(mpn(levels, 1, &set, &r), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_solves_the_score_in_wide_series),
        cmocka_unit_test(amounts_only_set_the_unit),
        cmocka_unit_test(where_all_tubes_agree_there_is_one_limit),
        cmocka_unit_test(improbable_tubes_are_suspect),
        cmocka_unit_test(amounts_too_far_apart_give_no_interval),
        cmocka_unit_test(values_outside_are_refused_by_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
