#include "../../support.h"

#include "../near.h"
#include "calc/microbe/detection_gain.h"

static const struct detection_gain usual = {10, 3.7, 0.1, 500, 0.375};

static void nothing_there_or_nothing_tested_finds_nothing(void **state)
{
    (void)state;
    struct detection_gain_report r;
    struct detection_gain g = usual;
    g.cells = 0;
    assert_ok(detection_gain(&g, &r));
    assert_near(r.chance, 0, 0);
    g = usual;
    g.sample_l = 0;
    assert_ok(detection_gain(&g, &r));
    assert_near(r.chance, 0, 0);
    assert_true(r.cells_per_l > 0);
    g.cells = 1e12;
    g.rise_log10 = 15;
    g.sample_l = g.water_l;
    assert_ok(detection_gain(&g, &r));
    assert_near(r.chance, 1, 0);
}

static void without_a_rise_waiting_gains_nothing(void **state)
{
    (void)state;
    struct detection_gain_report r;
    struct detection_gain g = usual;
    g.rise_log10 = 0;
    assert_ok(detection_gain(&g, &r));
    assert_near(r.chance, r.chance_unwaited, 0);
    /* A small chance keeps its digits. */
    g.cells = 1e-9;
    assert_ok(detection_gain(&g, &r));
    assert_near(r.chance, 1e-9 * 0.1 / 500 * 0.375, 1e-12);
}

static void values_outside_are_refused_by_name(void **state)
{
    (void)state;
    struct detection_gain_report r;
    struct detection_gain g = usual;
    g.rise_log10 = NAN;
    struct result refused = detection_gain(&g, &r);
    assert_code(refused, NUMBER_BAD);
    assert_string_equal(refused.field, "rise_log10");
    g = usual;
    g.sample_l = 500.1;
    assert_code(detection_gain(&g, &r), FIELD_RANGE);
    g = usual;
    g.water_l = 0;
    assert_code(detection_gain(&g, &r), FIELD_RANGE);
    g = usual;
    g.shed = INFINITY;
    assert_code(detection_gain(&g, &r), NUMBER_BAD);
    g = usual;
    g.cells = -1;
    assert_code(detection_gain(&g, &r), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nothing_there_or_nothing_tested_finds_nothing),
        cmocka_unit_test(without_a_rise_waiting_gains_nothing),
        cmocka_unit_test(values_outside_are_refused_by_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
