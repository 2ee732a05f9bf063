#include "../../support.h"

#include "../near.h"
#include "calc/microbe/plate_count.h"

static void no_colony_is_not_no_cell(void **state)
{
    (void)state;
    struct plate_count_report r;
    struct plate plates[] = {{0.1, 0}, {0.1, 0}};
    assert_ok(plate_count(plates, 2, NULL, 0, &r));
    assert_int_equal(r.state, PLATE_COUNT_NONE);
    assert_near(r.per_ml, 0, 0);
    assert_near(r.bound, 5, 1e-12);
    assert_near(r.low, 0, 0);
    assert_near(r.high, -log(0.025) / 0.2, 1e-9);
    assert_near(r.short_low, 1.92 / 0.2, 1e-12);
}

static void the_countable_range_is_said(void **state)
{
    (void)state;
    struct plate_count_report r;
    static const struct {
        int64_t colonies;
        enum plate_count_state state;
    } cases[] = {{24, PLATE_COUNT_LOW},
                 {25, PLATE_COUNT_GOOD},
                 {250, PLATE_COUNT_GOOD},
                 {251, PLATE_COUNT_HIGH},
                 {1, PLATE_COUNT_LOW}};
    for (size_t i = 0; i < 5; i++) {
        struct plate plate = {1, cases[i].colonies};
        assert_ok(plate_count(&plate, 1, NULL, 0, &r));
        assert_int_equal(r.state, cases[i].state);
    }
}

static void plates_with_too_many_pull_upward(void **state)
{
    (void)state;
    struct plate_count_report plain, pulled;
    struct plate plates[] = {{0.001, 20}, {0.001, 18}};
    struct plate over[] = {{0.01, 250}};
    assert_ok(plate_count(plates, 2, NULL, 0, &plain));
    assert_ok(plate_count(plates, 2, over, 1, &pulled));
    assert_true(pulled.per_ml > plain.per_ml);
    assert_true(pulled.low > plain.low && pulled.low < pulled.per_ml);
    assert_true(pulled.high > pulled.per_ml);
    /* One that was sure to have too many adds nothing. */
    over[0].sample_ml = 1;
    assert_ok(plate_count(plates, 2, over, 1, &pulled));
    assert_near(pulled.per_ml, plain.per_ml, 1e-9);
}

static void contradicting_plates_still_have_an_answer(void **state)
{
    (void)state;
    struct plate_count_report r;
    for (double v = 1e-12; v <= 1000; v *= 1000) {
        for (int64_t limit = 1; limit <= PLATE_COUNT_COLONIES_MAX; limit *= 10) {
            struct plate counted[] = {{1000, 0}}, over[] = {{v, limit}, {1e-9, 1}};
            assert_ok(plate_count(counted, 1, over, 2, &r));
            assert_true(r.per_ml > 0 && r.low > 0 && r.low < r.per_ml && r.high > r.per_ml);
            assert_true(isfinite(r.high));
        }
    }
}

static void too_many_on_every_plate_leave_a_lower_limit(void **state)
{
    (void)state;
    struct plate_count_report r;
    struct plate over[] = {{0.01, 250}, {0.001, 250}};
    assert_ok(plate_count(NULL, 0, over, 2, &r));
    assert_int_equal(r.state, PLATE_COUNT_ABOVE);
    assert_near(r.bound, 250000, 1e-12);
    /* Of the higher dilution alone, since the other is then sure: P(at least 250) = 0.025. */
    assert_near(r.low, 219977.0, 1e-4);
    assert_near(r.high, 0, 0);
    assert_near(r.per_ml, 0, 0);
}

static void values_outside_are_refused_by_name(void **state)
{
    (void)state;
    struct plate_count_report r;
    struct plate plates[] = {{0.1, 3}, {0, 3}};
    struct result refused = plate_count(plates, 2, NULL, 0, &r);
    assert_code(refused, FIELD_RANGE);
    assert_string_equal(refused.field, "plates[1][0]");
    plates[1] = (struct plate){NAN, 1};
    assert_code(plate_count(plates, 2, NULL, 0, &r), NUMBER_BAD);
    plates[1] = (struct plate){0.1, 0};
    refused = plate_count(plates, 1, plates, 2, &r);
    assert_code(refused, FIELD_RANGE);
    assert_string_equal(refused.field, "too_many[1][1]");
    assert_code(plate_count(NULL, 0, NULL, 0, &r), FIELD_RANGE);
}

static void an_uncertainty_narrows_to_the_method(void **state)
{
    (void)state;
    struct count_uncertainty u;
    assert_ok(count_uncertainty(100, 1000000000, 0.2, &u));
    assert_near(u.log10_units, 0.4, 1e-6);
    assert_ok(count_uncertainty(100, 1, 0, &u));
    assert_near(u.log10_units, 2 * 0.434295, 1e-4);
    assert_near(u.low * u.high, 10000, 1e-9);
    assert_code(count_uncertainty(100, 0, 0.2, &u), FIELD_RANGE);
    assert_code(count_uncertainty(0, 10, 0.2, &u), FIELD_RANGE);
    assert_code(count_uncertainty(100, 10, NAN, &u), NUMBER_BAD);
}

static void every_state_has_a_word(void **state)
{
    (void)state;
    assert_string_equal(plate_count_state_word(PLATE_COUNT_GOOD), "counted");
    assert_string_equal(plate_count_state_word(PLATE_COUNT_ABOVE), "too-many");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_colony_is_not_no_cell),
        cmocka_unit_test(the_countable_range_is_said),
        cmocka_unit_test(plates_with_too_many_pull_upward),
        cmocka_unit_test(contradicting_plates_still_have_an_answer),
        cmocka_unit_test(too_many_on_every_plate_leave_a_lower_limit),
        cmocka_unit_test(values_outside_are_refused_by_name),
        cmocka_unit_test(an_uncertainty_narrows_to_the_method),
        cmocka_unit_test(every_state_has_a_word),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
