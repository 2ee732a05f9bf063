#include "../../support.h"

#include <math.h>

#include "../near.h"
#include "calc/heat/reduction_count.h"

static void amounts_enter_the_reduction(void **state)
{
    (void)state;
    struct reduction_count r;
    assert_ok(reduction_count(100, 100, 1000, &r));
    assert_near(r.reduction, 3, 1e-14);
    assert_near(r.se, M_LOG10E * sqrt(0.02), 1e-14);
    assert_near(r.low, 3 - 1.6448536269514722 * r.se, 1e-12);
    assert_false(r.none_found);
}

static void none_found_is_a_bound(void **state)
{
    (void)state;
    struct reduction_count r;
    double low;
    assert_ok(reduction_count(100, 0, 1, &r));
    assert_true(r.none_found);
    assert_near(r.low, log10(100 / -log(0.05)), 1e-13);
    assert_ok(reduction_none_found(0.1, 1, &low));
    assert_true(low < 0);
}

static void counts_that_mean_nothing_are_named(void **state)
{
    (void)state;
    struct reduction_count r;
    double low;
    struct result got = reduction_count(0, 1, 1, &r);
    assert_code(got, FIELD_RANGE);
    assert_string_equal(got.field, "before");
    assert_code(reduction_count(1, -1, 1, &r), FIELD_RANGE);
    assert_code(reduction_count(1, 1, 0, &r), FIELD_RANGE);
    assert_code(reduction_none_found(0, 1, &low), FIELD_RANGE);
    assert_code(reduction_none_found(1, (double)INFINITY, &low), NUMBER_BAD);
}

static void batches_that_agree_have_no_spread(void **state)
{
    (void)state;
    const double reductions[] = {6, 6, 6, (double)NAN};
    struct reduction_batches r;
    assert_ok(reduction_batches(reductions, 3, &r));
    assert_near(r.low, 6, 1e-14);
    assert_near(r.least, 6, 0);
    assert_code(reduction_batches(reductions, 1, &r), FIELD_RANGE);
    struct result got = reduction_batches(reductions, 4, &r);
    assert_code(got, NUMBER_BAD);
    assert_string_equal(got.field, "reductions[3]");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(amounts_enter_the_reduction),
        cmocka_unit_test(none_found_is_a_bound),
        cmocka_unit_test(counts_that_mean_nothing_are_named),
        cmocka_unit_test(batches_that_agree_have_no_spread),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
