#include "../../support.h"

#include "../near.h"
#include "calc/growth/germination.h"

static struct germination_report judged(const int64_t *normal, size_t replicates)
{
    struct germination_report out;
    assert_ok(germination_judge(normal, replicates, &out));
    return out;
}

static void equal_to_the_allowed_range_is_good(void **state)
{
    (void)state;
    const int64_t good[] = {99, 97, 90, 94};
    const int64_t wide[] = {99, 97, 89, 95};
    struct germination_report r = judged(good, 4);
    assert_int_equal(r.range, 9);
    assert_int_equal(r.allowed_range, 9);
    assert_int_equal(r.verdict, GERMINATION_ACCEPT);
    assert_string_equal(germination_verdict_word(r.verdict), "accept");
    assert_true(r.from_table);
    r = judged(wide, 4);
    assert_int_equal(r.verdict, GERMINATION_RETEST);
    assert_string_equal(germination_verdict_word(r.verdict), "retest");
    assert_near(r.chi2, 56 / 4.75, 1e-14);
    assert_false(r.chi2_agrees);
}

static void a_half_is_rounded_up(void **state)
{
    (void)state;
    const int64_t half[] = {94, 93, 94, 93};    /* 93.5 */
    const int64_t quarter[] = {94, 93, 93, 93}; /* 93.25 */
    const int64_t pair[] = {94, 93};
    assert_int_equal(judged(half, 4).mean_pct, 94);
    assert_int_equal(judged(quarter, 4).mean_pct, 93);
    assert_int_equal(judged(pair, 2).mean_pct, 94);
    assert_near(judged(half, 4).mean_exact_pct, 93.5, 0);
}

static void all_and_none_are_no_trouble(void **state)
{
    (void)state;
    const int64_t all[] = {100, 100, 100, 100};
    const int64_t none[] = {0, 0, 0, 0};
    const int64_t nearly[] = {100, 100, 100, 98}; /* 99.5 -> 100 */
    const int64_t hardly[] = {0, 1, 0, 0};
    struct germination_report r = judged(all, 4);
    assert_int_equal(r.mean_pct, 100);
    assert_int_equal(r.verdict, GERMINATION_ACCEPT);
    assert_near(r.chi2, 0, 0);
    assert_near(r.standard_error_pct, 0, 0);
    assert_int_equal(r.high_ppm, 1000000);
    r = judged(none, 4);
    assert_int_equal(r.verdict, GERMINATION_ACCEPT);
    assert_near(r.chi2, 0, 0);
    assert_int_equal(r.low_ppm, 0);
    assert_int_equal(judged(nearly, 4).verdict, GERMINATION_ACCEPT);
    assert_int_equal(judged(hardly, 4).verdict, GERMINATION_ACCEPT);
}

static void two_replicates_have_their_own_column(void **state)
{
    (void)state;
    const int64_t good[] = {99, 93}; /* 96: 6 */
    const int64_t wide[] = {99, 92}; /* 95.5 -> 96 */
    assert_int_equal(judged(good, 2).verdict, GERMINATION_ACCEPT);
    assert_int_equal(judged(wide, 2).verdict, GERMINATION_RETEST);
    bool from_table = true;
    /* No entry at 98 and 99: the formula, rounded down. */
    assert_int_equal(germination_allowed_range(98, 2, &from_table), 4);
    assert_false(from_table);
    assert_int_equal(germination_allowed_range(99, 2, &from_table), 3);
    assert_int_equal(germination_allowed_range(97, 2, &from_table), 6);
    assert_true(from_table);
}

/* Computed here: q sqrt(P (100 - P)/100) against the printed table. */
static void the_formula_lies_within_a_point_of_the_table(void **state)
{
    (void)state;
    size_t exact = 0;
    for (int pct = 71; pct <= 99; pct++) {
        bool from_table = false;
        int entry = germination_allowed_range(pct, 4, &from_table);
        assert_true(from_table);
        int formula = (int)lround(3.984015 * sqrt(pct * (100 - pct) / 100.0));
        assert_true(abs(entry - formula) <= 1);
        exact += entry == formula;
        assert_int_equal(germination_allowed_range(101 - pct, 4, &from_table), entry);
    }
    assert_int_equal(exact, 23);
}

static void the_middle_is_never_wider_than_memory_has_it(void **state)
{
    (void)state;
    /* International Seed Testing Association rules, table 5B - from memory: 67 to 72 % 18, 56 to
     * 66 % 19, 51 to 55 % 20. What is from memory may narrow a limit, not widen it. */
    for (int pct = 51; pct <= 70; pct++) {
        bool from_table = true;
        int allowed = germination_allowed_range(pct, 4, &from_table);
        assert_false(from_table);
        int memory = pct >= 67 ? 18 : pct >= 56 ? 19 : 20;
        assert_true(allowed == memory || allowed == memory - 1);
        assert_int_equal(germination_allowed_range(101 - pct, 4, &from_table), allowed);
    }
}

static void counts_that_cannot_be_are_named(void **state)
{
    (void)state;
    struct germination_report r;
    const int64_t high[] = {99, 101, 90, 94};
    const int64_t low[] = {99, 97, 90, -1};
    struct result got = germination_judge(high, 4, &r);
    assert_code(got, FIELD_RANGE);
    assert_string_equal(got.field, "replicates[1]");
    got = germination_judge(low, 4, &r);
    assert_string_equal(got.field, "replicates[3]");
    const size_t wrong[] = {0, 1, 3, 5};
    for (size_t i = 0; i < 4; i++) {
        got = germination_judge(high, wrong[i], &r);
        assert_code(got, FIELD_RANGE);
        assert_string_equal(got.field, "replicates");
        assert_int_equal(r.verdict, GERMINATION_RETEST);
    }
}

static void range_of_one_replicate(void *argument)
{
    bool from_table;
    germination_allowed_range(90, 1, &from_table);
    (void)argument;
}

static void a_programmer_is_stopped(void **state)
{
    (void)state;
    assert_aborts(range_of_one_replicate, NULL);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(equal_to_the_allowed_range_is_good),
        cmocka_unit_test(a_half_is_rounded_up),
        cmocka_unit_test(all_and_none_are_no_trouble),
        cmocka_unit_test(two_replicates_have_their_own_column),
        cmocka_unit_test(the_formula_lies_within_a_point_of_the_table),
        cmocka_unit_test(the_middle_is_never_wider_than_memory_has_it),
        cmocka_unit_test(counts_that_cannot_be_are_named),
        cmocka_unit_test(a_programmer_is_stopped),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
