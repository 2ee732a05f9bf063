#include "../../support.h"

#include "../near.h"
#include "calc/microbe/hit_rate.h"

static void none_and_all_have_closed_ends(void **state)
{
    (void)state;
    struct hit_rate r;
    assert_ok(hit_rate(0, 30, &r));
    assert_near(r.exact_low, 0, 0);
    assert_near(r.exact_high, 1 - pow(0.025, 1.0 / 30), 1e-12);
    assert_near(r.wilson_low, 0, 0);
    assert_ok(hit_rate(30, 30, &r));
    assert_near(r.exact_low, pow(0.025, 1.0 / 30), 1e-12);
    assert_near(r.exact_high, 1, 0);
    assert_near(r.share, 1, 0);
}

static void the_exact_interval_is_the_wider(void **state)
{
    (void)state;
    struct hit_rate r;
    for (int64_t swabs = 5; swabs <= HIT_RATE_SWABS_MAX; swabs *= 7) {
        assert_ok(hit_rate(swabs / 4, swabs, &r));
        assert_true(r.exact_high - r.exact_low > r.wilson_high - r.wilson_low);
        assert_true(r.exact_low < r.share && r.share < r.exact_high);
    }
}

static void impossible_counts_are_refused(void **state)
{
    (void)state;
    struct hit_rate r;
    struct result refused = hit_rate(3, 2, &r);
    assert_code(refused, FIELD_RANGE);
    assert_string_equal(refused.field, "hits");
    refused = hit_rate(0, 0, &r);
    assert_string_equal(refused.field, "swabs");
    assert_code(hit_rate(-1, 2, &r), FIELD_RANGE);
    assert_code(hit_rate(0, HIT_RATE_SWABS_MAX + 1, &r), FIELD_RANGE);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(none_and_all_have_closed_ends),
        cmocka_unit_test(the_exact_interval_is_the_wider),
        cmocka_unit_test(impossible_counts_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
