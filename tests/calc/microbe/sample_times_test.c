#include "../../support.h"

#include "../near.h"
#include "calc/microbe/sample_times.h"

#define H INT64_C(3600000)

static void a_millisecond_decides(void **state)
{
    (void)state;
    struct sample_times t = {48 * H, 6 * H, 48 * H, 102 * H, 48 * H};
    struct sample_times_report r;
    assert_ok(sample_times(&t, &r));
    assert_true(r.in_time && r.old_enough && r.possible);
    assert_int_equal(r.slack_ms, 0);
    t.needed_ms--;
    assert_ok(sample_times(&t, &r));
    assert_false(r.in_time);
    assert_false(r.possible);
    assert_int_equal(r.latest_ms, 48 * H - 1);
    t.needed_ms += H;
    t.sampled_ms--;
    assert_ok(sample_times(&t, &r));
    assert_true(r.in_time && r.possible);
    assert_false(r.old_enough);
}

static void times_below_zero_and_without_end_are_refused(void **state)
{
    (void)state;
    struct sample_times_report r;
    for (size_t i = 0; i < 5; i++) {
        int64_t values[5] = {0};
        static const char *const names[] = {"sampled", "transit", "laboratory", "needed",
                                            "age_min"};
        values[i] = i % 2 == 0 ? -1 : INT64_MAX;
        struct sample_times t = {values[0], values[1], values[2], values[3], values[4]};
        struct result refused = sample_times(&t, &r);
        assert_code(refused, FIELD_RANGE);
        assert_string_equal(refused.field, names[i]);
    }
    struct sample_times most = {SAMPLE_TIMES_MAX_MS, SAMPLE_TIMES_MAX_MS, SAMPLE_TIMES_MAX_MS, 0,
                                0};
    assert_ok(sample_times(&most, &r));
    assert_int_equal(r.slack_ms, -3 * SAMPLE_TIMES_MAX_MS);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_millisecond_decides),
        cmocka_unit_test(times_below_zero_and_without_end_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
