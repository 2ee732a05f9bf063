#include "../../support.h"

#include "../near.h"
#include "calc/microbe/sample_size.h"

static void one_fewer_is_not_enough(void **state)
{
    (void)state;
    struct sample_size_report r;
    static const int64_t lots[] = {0, 2, 30, 1000, SAMPLE_LOT_MAX};
    static const double sensitivities[] = {1, 0.999, 0.6};
    for (size_t i = 0; i < 5; i++) {
        for (size_t j = 0; j < 3; j++) {
            for (double p = 0.0001; p <= 1; p *= 3) {
                struct sample_size s = {p, 0.5, sensitivities[j], lots[i]};
                double missed;
                assert_ok(sample_size(&s, &r));
                assert_true(r.reached && r.samples >= 1);
                assert_true(r.missed <= 0.5 * (1 + 1e-8));
                assert_ok(sample_missed(&s, r.samples, &missed));
                assert_near(missed, r.missed, 1e-12);
                if (r.samples > 1) {
                    assert_ok(sample_missed(&s, r.samples - 1, &missed));
                    assert_true(missed > 0.5);
                }
            }
        }
    }
}

/* With perfect tests the sum has one term left. */
static void imperfect_tests_come_to_perfect_ones(void **state)
{
    (void)state;
    double perfect, nearly;
    struct sample_size s = {0.05, 0.95, 1, 400};
    assert_ok(sample_missed(&s, 120, &perfect));
    s.sensitivity = 1 - 1e-12;
    assert_ok(sample_missed(&s, 120, &nearly));
    assert_near(nearly, perfect, 1e-6);
    s.sensitivity = 0.5;
    assert_ok(sample_missed(&s, 400, &nearly));
    assert_near(nearly, pow(0.5, 20), 1e-9);
}

static void a_lot_may_be_too_small(void **state)
{
    (void)state;
    struct sample_size s = {0.01, 0.95, 0.5, 10};
    struct sample_size_report r;
    assert_ok(sample_size(&s, &r));
    assert_false(r.reached);
    assert_int_equal(r.samples, 0);
    assert_int_equal(r.positives, 1);
    assert_near(r.missed, 0.5, 1e-12);
    double missed;
    struct result refused = sample_missed(&s, 11, &missed);
    assert_code(refused, FIELD_RANGE);
    assert_string_equal(refused.field, "samples");
}

static void certain_and_rare_positives(void **state)
{
    (void)state;
    struct sample_size s = {1, 0.9999, 1, 0};
    struct sample_size_report r;
    assert_ok(sample_size(&s, &r));
    assert_int_equal(r.samples, 1);
    assert_near(r.missed, 0, 0);
    s.prevalence = 1e-9;
    s.sensitivity = 1e-6;
    assert_code(sample_size(&s, &r), CALC_OVERFLOW);
    s.prevalence = NAN;
    assert_code(sample_size(&s, &r), NUMBER_BAD);
    s.prevalence = 0;
    assert_code(sample_size(&s, &r), FIELD_RANGE);
    s = (struct sample_size){0.1, 0.95, 1, SAMPLE_LOT_MAX + 1};
    assert_code(sample_size(&s, &r), FIELD_RANGE);
    s.lot_size = -1;
    assert_code(sample_size(&s, &r), FIELD_RANGE);
}

static void none_positive_of_one_says_little(void **state)
{
    (void)state;
    double p;
    assert_ok(zero_positives(1, 0.95, 1, &p));
    assert_near(p, 0.95, 1e-12);
    assert_ok(zero_positives(1, 0.95, 0.5, &p));
    assert_near(p, 1, 0);
    assert_ok(zero_positives(SAMPLE_COUNT_MAX, 0.95, 1, &p));
    assert_near(p, -log(0.05) / 1e12, 1e-9);
    assert_code(zero_positives(0, 0.95, 1, &p), FIELD_RANGE);
    assert_code(zero_positives(5, NAN, 1, &p), NUMBER_BAD);
    assert_code(zero_positives(5, 0.95, 0, &p), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_fewer_is_not_enough),
        cmocka_unit_test(imperfect_tests_come_to_perfect_ones),
        cmocka_unit_test(a_lot_may_be_too_small),
        cmocka_unit_test(certain_and_rare_positives),
        cmocka_unit_test(none_positive_of_one_says_little),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
