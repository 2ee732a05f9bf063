#include "../../support.h"

#include "../near.h"
#include "calc/microbe/detection.h"

static const struct detection usual = {5, 25, 1, 1, 1, 10, 0.95};

static void the_level_found_is_found_with_that_confidence(void **state)
{
    (void)state;
    struct detection_report r, back;
    for (int64_t pooled = 1; pooled <= 1000; pooled *= 10) {
        struct detection d = {5, 375, 0.3, 0.9, pooled, 60, 0.95};
        assert_ok(detection(&d, &r));
        assert_true(r.reachable);
        d.cells_per_kg = r.found_per_kg;
        assert_ok(detection(&d, &back));
        assert_near(back.chance, 0.95, 1e-12);
    }
}

static void too_few_tests_never_reach_the_confidence(void **state)
{
    (void)state;
    struct detection_report r;
    struct detection d = usual;
    d.share = 0.01;
    assert_ok(detection(&d, &r));
    assert_false(r.reachable);
    assert_near(r.found_per_kg, 0, 0);
    d = usual;
    d.sensitivity = 0.2;
    d.tests = 1;
    d.cells_per_kg = 1e15;
    assert_ok(detection(&d, &r));
    assert_false(r.reachable);
    assert_near(r.chance, 0.2, 1e-15);
}

static void pooling_one_is_not_pooling(void **state)
{
    (void)state;
    struct detection_report one, many;
    struct detection d = usual;
    d.share = 1;
    assert_ok(detection(&d, &one));
    d.pooled = 1000000;
    assert_ok(detection(&d, &many));
    /* In a homogeneous lot it makes no difference. */
    assert_near(many.chance, one.chance, 1e-10);
    assert_near(many.found_per_kg, one.found_per_kg, 1e-9);
}

static void small_and_large_levels_stay_chances(void **state)
{
    (void)state;
    struct detection_report r;
    struct detection d = usual;
    d.cells_per_kg = 0;
    assert_ok(detection(&d, &r));
    assert_near(r.chance, 0, 0);
    d.cells_per_kg = 1e-12;
    assert_ok(detection(&d, &r));
    assert_near(r.chance, 1e-12 * 0.25, 1e-9);
    d.cells_per_kg = 1e15;
    d.portion_g = 1e9;
    assert_ok(detection(&d, &r));
    assert_near(r.chance, 1, 0);
}

static void values_outside_are_refused_by_name(void **state)
{
    (void)state;
    struct detection_report r;
    struct detection d = usual;
    d.share = 0;
    struct result refused = detection(&d, &r);
    assert_code(refused, FIELD_RANGE);
    assert_string_equal(refused.field, "share");
    d = usual;
    d.portion_g = INFINITY;
    assert_code(detection(&d, &r), NUMBER_BAD);
    d = usual;
    d.sensitivity = NAN;
    assert_code(detection(&d, &r), NUMBER_BAD);
    d = usual;
    d.pooled = 0;
    assert_code(detection(&d, &r), FIELD_RANGE);
    d = usual;
    d.tests = 0;
    assert_code(detection(&d, &r), FIELD_RANGE);
    d = usual;
    d.confidence = 1;
    assert_code(detection(&d, &r), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_level_found_is_found_with_that_confidence),
        cmocka_unit_test(too_few_tests_never_reach_the_confidence),
        cmocka_unit_test(pooling_one_is_not_pooling),
        cmocka_unit_test(small_and_large_levels_stay_chances),
        cmocka_unit_test(values_outside_are_refused_by_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
