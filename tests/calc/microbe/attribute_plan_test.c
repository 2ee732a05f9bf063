#include "../../support.h"

#include "../near.h"
#include "calc/microbe/attribute_plan.h"

static void three_classes_without_marginal_or_defective_are_two(void **state)
{
    (void)state;
    struct attribute_plan strict = {5, 0}, loose = {5, 2};
    for (double p = 0; p <= 1; p += 0.125) {
        assert_near(accept_three_class(&strict, 0, p), accept_two_class(&strict, p), 1e-12);
        assert_near(accept_three_class(&loose, p, 0), accept_two_class(&loose, p), 1e-12);
        assert_near(accept_three_class(&loose, 1 - p, p), pow(1 - p, 5) * (p < 1 ? 0 : 1), 1e-12);
    }
}

static void the_share_accepted_is_accepted_that_often(void **state)
{
    (void)state;
    for (int64_t n = 1; n <= ATTRIBUTE_SAMPLES_MAX; n = n * 6 + 1) {
        for (int64_t c = 0; c < n; c += 1 + n / 5) {
            struct attribute_plan plan = {n, c};
            for (double chance = 0.001; chance < 1; chance += 0.111) {
                double share = share_accepted(&plan, chance);
                assert_true(share > 0 && share < 1);
                assert_near(accept_two_class(&plan, share), chance, 1e-7);
            }
        }
    }
}

static void a_whole_lot_is_known(void **state)
{
    (void)state;
    double chance;
    struct attribute_plan plan = {20, 2};
    assert_ok(accept_of_lot(&plan, 20, 2, &chance));
    assert_near(chance, 1, 0);
    assert_ok(accept_of_lot(&plan, 20, 3, &chance));
    assert_near(chance, 0, 0);
    assert_code(accept_of_lot(&plan, 19, 3, &chance), FIELD_RANGE);
    assert_code(accept_of_lot(&plan, 20, 21, &chance), FIELD_RANGE);
    plan.accept = 20;
    assert_code(accept_of_lot(&plan, 20, 3, &chance), FIELD_RANGE);
    plan = (struct attribute_plan){0, 0};
    assert_code(accept_of_lot(&plan, 20, 3, &chance), FIELD_RANGE);
}

static void the_rejected_mean_is_rejected(void **state)
{
    (void)state;
    struct lognormal_plan_report r, back;
    struct attribute_plan plan = {5, 2};
    for (double sd = 0.001; sd <= 10; sd *= 3) {
        for (int most = 0; most < 2; most++) {
            struct lognormal_limits l = {2, sd, 2, most == 1, 3, 0.95};
            assert_ok(lognormal_plan(&plan, &l, &r));
            l.mean_log10 = r.rejected_mean_log10;
            assert_ok(lognormal_plan(&plan, &l, &back));
            assert_near(back.chance, 0.05, 1e-8);
        }
    }
}

static void limits_outside_are_refused_by_name(void **state)
{
    (void)state;
    struct lognormal_plan_report r;
    struct attribute_plan plan = {5, 0};
    struct lognormal_limits l = {2, 0, 2, false, 0, 0.95};
    struct result refused = lognormal_plan(&plan, &l, &r);
    assert_code(refused, FIELD_RANGE);
    assert_string_equal(refused.field, "sd_log10");
    l = (struct lognormal_limits){NAN, 1, 2, false, 0, 0.95};
    assert_code(lognormal_plan(&plan, &l, &r), NUMBER_BAD);
    l = (struct lognormal_limits){2, 1, 2, true, 1.9, 0.95};
    refused = lognormal_plan(&plan, &l, &r);
    assert_code(refused, FIELD_RANGE);
    assert_string_equal(refused.field, "most_log10");
}

static void one_sample_fewer_lets_the_limiting_quality_pass(void **state)
{
    (void)state;
    for (double quality = 0.001; quality <= 0.5; quality *= 2) {
        for (int64_t c = 0; c <= 50; c += 10) {
            int64_t n;
            assert_ok(limiting_quality_samples(quality, 0.1, c, &n));
            struct attribute_plan plan = {n, c}, fewer = {n - 1, c};
            assert_true(accept_two_class(&plan, quality) <= 0.1);
            assert_true(n == c + 1 || accept_two_class(&fewer, quality) > 0.1);
        }
    }
    int64_t n;
    assert_code(limiting_quality_samples(0.0001, 0.001, 50, &n), CALC_OVERFLOW);
    assert_code(limiting_quality_samples(0, 0.1, 0, &n), FIELD_RANGE);
    assert_code(limiting_quality_samples(0.1, NAN, 0, &n), NUMBER_BAD);
    assert_code(limiting_quality_samples(0.1, 0.1, 51, &n), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(three_classes_without_marginal_or_defective_are_two),
        cmocka_unit_test(the_share_accepted_is_accepted_that_often),
        cmocka_unit_test(a_whole_lot_is_known),
        cmocka_unit_test(the_rejected_mean_is_rejected),
        cmocka_unit_test(limits_outside_are_refused_by_name),
        cmocka_unit_test(one_sample_fewer_lets_the_limiting_quality_pass),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
