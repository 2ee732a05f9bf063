#include "../../support.h"

#include "../near.h"
#include "calc/water/turbidity.h"

static void just_enough_is_enough(void **state)
{
    (void)state;
    int64_t readings[100];
    struct turbidity_report r;
    for (size_t i = 0; i < 100; i++) {
        readings[i] = i < 95 ? 300 : 1000;
    }
    assert_ok(turbidity_judge(TURBIDITY_CONVENTIONAL, readings, 100, &r));
    assert_int_equal(r.state, TURBIDITY_PASS);
    assert_near(r.share_pct, 95, 1e-15);
    assert_int_equal(r.above, 5);
    readings[0] = 301;
    assert_ok(turbidity_judge(TURBIDITY_CONVENTIONAL, readings, 100, &r));
    assert_int_equal(r.state, TURBIDITY_SHARE);
    readings[99] = 1001;
    assert_ok(turbidity_judge(TURBIDITY_CONVENTIONAL, readings, 100, &r));
    assert_int_equal(r.state, TURBIDITY_PEAK);
    assert_ok(turbidity_judge(TURBIDITY_SLOW, readings, 100, &r));
    assert_int_equal(r.state, TURBIDITY_PASS);
    assert_int_equal(r.limit_mntu, 1000);
    assert_int_equal(r.peak_mntu, 5000);
}

static void nothing_read_passes_nothing(void **state)
{
    (void)state;
    struct turbidity_report r;
    assert_ok(turbidity_judge(TURBIDITY_SLOW, NULL, 0, &r));
    assert_int_equal(r.state, TURBIDITY_NO_DATA);
    assert_string_equal(turbidity_state_word(r.state), "no-data");
    int64_t one = 0;
    assert_ok(turbidity_judge(TURBIDITY_SLOW, &one, 1, &r));
    assert_int_equal(r.state, TURBIDITY_PASS);
}

static void a_reading_that_cannot_be_is_refused(void **state)
{
    (void)state;
    struct turbidity_report r;
    int64_t readings[2] = {100, -1};
    assert_string_equal(turbidity_judge(TURBIDITY_SLOW, readings, 2, &r).field, "readings[1]");
    assert_int_equal(r.state, TURBIDITY_NO_DATA);
    readings[1] = INT64_MAX;
    assert_code(turbidity_judge(TURBIDITY_SLOW, readings, 2, &r), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(just_enough_is_enough),
        cmocka_unit_test(nothing_read_passes_nothing),
        cmocka_unit_test(a_reading_that_cannot_be_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
