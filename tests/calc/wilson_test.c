#include "../support.h"

#include "calc/wilson.h"
#include "near.h"

static void ppm_are_rounded_outward(void **state)
{
    (void)state;
    struct wilson w;
    /* Computed here: 376 of 400 is 0.912277 to 0.959352. */
    assert_ok(wilson(376, 400, &w));
    assert_int_equal(w.low_ppm, 912277);
    assert_int_equal(w.high_ppm, 959353);
    assert_true((double)w.low_ppm <= w.low * 1e6 && (double)w.high_ppm >= w.high * 1e6);
}

static void the_ends_are_closed(void **state)
{
    (void)state;
    struct wilson w;
    assert_ok(wilson(0, 10, &w));
    assert_near(w.low, 0, 0);
    assert_ok(wilson(10, 10, &w));
    assert_near(w.high, 1, 0);
    assert_int_equal(w.high_ppm, 1000000);
}

static void it_is_symmetric_and_narrows(void **state)
{
    (void)state;
    double width = 2;
    for (int64_t n = 10; n <= 100000; n *= 10) {
        struct wilson w, mirror;
        assert_ok(wilson(n * 7 / 10, n, &w));
        assert_ok(wilson(n * 3 / 10, n, &mirror));
        assert_true(w.low < 0.7 && 0.7 < w.high);
        assert_near(mirror.low, 1 - w.high, 1e-12);
        assert_near(mirror.high, 1 - w.low, 1e-12);
        assert_true(w.high - w.low < width);
        width = w.high - w.low;
    }
}

static void impossible_counts_are_refused(void **state)
{
    (void)state;
    struct wilson w;
    struct result r = wilson(11, 10, &w);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "counted");
    assert_code(wilson(-1, 10, &w), FIELD_RANGE);
    r = wilson(0, 0, &w);
    assert_code(r, FIELD_RANGE);
    assert_string_equal(r.field, "of");
    assert_code(wilson(0, INT64_C(1000000001), &w), FIELD_RANGE);
    assert_ok(wilson(1, 1, &w));
    assert_ok(wilson(0, INT64_C(1000000000), &w));
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ppm_are_rounded_outward),
        cmocka_unit_test(the_ends_are_closed),
        cmocka_unit_test(it_is_symmetric_and_narrows),
        cmocka_unit_test(impossible_counts_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
