#include "../../support.h"

#include "../near.h"
#include "calc/microbe/sampling_plan.h"

static const int64_t limits[SAMPLING_AQLS] = {65, 100, 150, 250, 400, 650};

static void every_arrow_leads_to_a_plan(void **state)
{
    (void)state;
    struct sampling_plan p;
    for (int64_t lot = 2; lot <= 1000000000; lot = lot * 5 / 4 + 1) {
        for (int level = SAMPLING_S1; level <= SAMPLING_III; level++) {
            for (size_t i = 0; i < SAMPLING_AQLS; i++) {
                for (int tight = 0; tight < 2; tight++) {
                    assert_ok(
                        sampling_plan(lot, (enum sampling_level)level, limits[i], tight == 1, &p));
                    assert_ok(attribute_plan_check(&p.plan));
                    assert_int_equal(p.inspect_all, p.plan.samples >= lot);
                }
            }
        }
    }
}

/* A tightened plan never accepts a share as bad as one and a half times the limit more readily. */
static void tightened_is_not_looser(void **state)
{
    (void)state;
    struct sampling_plan normal, tight;
    for (int64_t lot = 2; lot <= 1000000000; lot *= 2) {
        for (size_t i = 0; i < SAMPLING_AQLS; i++) {
            double share = (double)limits[i] / 1e4 * 1.5;
            assert_ok(sampling_plan(lot, SAMPLING_II, limits[i], false, &normal));
            assert_ok(sampling_plan(lot, SAMPLING_II, limits[i], true, &tight));
            assert_true(accept_two_class(&tight.plan, share) <=
                        accept_two_class(&normal.plan, share) + 1e-12);
        }
    }
}

static void lot_sizes_change_letters_at_their_ends(void **state)
{
    (void)state;
    struct sampling_plan p;
    static const struct {
        int64_t lot_size;
        enum sampling_level level;
        char code;
    } cases[] = {
        {2, SAMPLING_II, 'A'},       {8, SAMPLING_II, 'A'},          {9, SAMPLING_II, 'B'},
        {500, SAMPLING_II, 'H'},     {501, SAMPLING_II, 'J'},        {500000, SAMPLING_III, 'Q'},
        {500001, SAMPLING_III, 'R'}, {1000000000, SAMPLING_S1, 'D'}, {35000, SAMPLING_S4, 'H'},
        {10001, SAMPLING_S3, 'F'},   {3200, SAMPLING_I, 'H'},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        assert_ok(sampling_plan(cases[i].lot_size, cases[i].level, 100, false, &p));
        assert_int_equal(p.code, cases[i].code);
    }
}

static void a_row_from_memory_says_so(void **state)
{
    (void)state;
    struct sampling_plan p;
    assert_ok(sampling_plan(1000, SAMPLING_II, 100, false, &p));
    assert_false(p.recalled);
    assert_int_equal(p.reduced_samples, 32);
    assert_ok(sampling_plan(200000, SAMPLING_II, 65, true, &p));
    assert_int_equal(p.code, 'P');
    assert_true(p.recalled);
    assert_int_equal(p.reduced_samples, 0);
    /* By an arrow out of the seen rows. */
    assert_ok(sampling_plan(5, SAMPLING_II, 650, true, &p));
    assert_int_equal(p.letter, 'B');
    assert_true(p.recalled);
}

static void other_limits_and_lots_are_refused(void **state)
{
    (void)state;
    struct sampling_plan p;
    assert_code(sampling_plan(1, SAMPLING_II, 100, false, &p), FIELD_RANGE);
    assert_code(sampling_plan(1000000001, SAMPLING_II, 100, false, &p), FIELD_RANGE);
    struct result refused = sampling_plan(100, SAMPLING_II, 99, false, &p);
    assert_code(refused, FIELD_CHOICE);
    assert_string_equal(refused.field, "aql");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_arrow_leads_to_a_plan),
        cmocka_unit_test(tightened_is_not_looser),
        cmocka_unit_test(lot_sizes_change_letters_at_their_ends),
        cmocka_unit_test(a_row_from_memory_says_so),
        cmocka_unit_test(other_limits_and_lots_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
