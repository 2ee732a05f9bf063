#include "../../support.h"

#include "../near.h"
#include "calc/microbe/switching.h"

static void take(struct switching *s, const char *lots, struct switching_lot lot)
{
    for (; *lots != '\0'; lots++) {
        lot.accepted = *lots == '1';
        switching_take(s, &lot);
    }
}

static void ends_on(const char *lots, struct switching_lot lot, enum inspection wanted)
{
    struct switching s = {0};
    take(&s, lots, lot);
    assert_int_equal(s.inspection, wanted);
}

static void two_of_five_tighten(void **state)
{
    (void)state;
    struct switching_lot plain = {0};
    ends_on("", plain, INSPECTION_NORMAL);
    ends_on("00", plain, INSPECTION_TIGHTENED);
    ends_on("01110", plain, INSPECTION_TIGHTENED);
    ends_on("011110", plain, INSPECTION_NORMAL);
    ends_on("0111101", plain, INSPECTION_NORMAL);
    ends_on("01111010", plain, INSPECTION_TIGHTENED);
}

static void five_in_a_row_go_back_and_history_begins_anew(void **state)
{
    (void)state;
    struct switching_lot plain = {0};
    ends_on("001111", plain, INSPECTION_TIGHTENED);
    ends_on("0011101111", plain, INSPECTION_TIGHTENED);
    ends_on("0011111", plain, INSPECTION_NORMAL);
    /* The two that tightened it do not count again. */
    ends_on("00111110", plain, INSPECTION_NORMAL);
    ends_on("001111100", plain, INSPECTION_TIGHTENED);
}

static void five_refused_on_tightened_stop_until_the_supplier_acts(void **state)
{
    (void)state;
    struct switching_lot plain = {0};
    ends_on("0000010000", plain, INSPECTION_NONE);
    struct switching s = {0};
    take(&s, "000101010", plain);
    assert_int_equal(s.inspection, INSPECTION_TIGHTENED);
    assert_int_equal(s.refused_tightened, 4);
    take(&s, "0", plain);
    assert_int_equal(s.inspection, INSPECTION_NONE);
    take(&s, "1111111", plain);
    assert_int_equal(s.inspection, INSPECTION_NONE);
    switching_resume(&s);
    assert_int_equal(s.inspection, INSPECTION_TIGHTENED);
    take(&s, "0000", plain);
    assert_int_equal(s.inspection, INSPECTION_TIGHTENED);
    take(&s, "11111", plain);
    assert_int_equal(s.inspection, INSPECTION_NORMAL);
    switching_resume(&s);
    assert_int_equal(s.inspection, INSPECTION_NORMAL);
}

static void a_score_of_thirty_reduces(void **state)
{
    (void)state;
    struct switching_lot small = {.accept = 1, .steady = true, .reduced_agreed = true};
    ends_on("11111111111111", small, INSPECTION_NORMAL);
    ends_on("111111111111111", small, INSPECTION_REDUCED);
    ends_on("111111111111110", small, INSPECTION_NORMAL);
    ends_on("1111111111111110", small, INSPECTION_NORMAL);
    struct switching_lot large = {
        .accept = 2, .passes_tighter = true, .steady = true, .reduced_agreed = true};
    ends_on("111111111", large, INSPECTION_NORMAL);
    ends_on("1111111111", large, INSPECTION_REDUCED);
    large.passes_tighter = false;
    ends_on("11111111111111111111", large, INSPECTION_NORMAL);
    small.reduced_agreed = false;
    ends_on("11111111111111111111", small, INSPECTION_NORMAL);
    small.reduced_agreed = true;
    small.steady = false;
    ends_on("11111111111111111111", small, INSPECTION_NORMAL);
}

static void irregular_production_ends_reduced(void **state)
{
    (void)state;
    struct switching_lot lot = {.accept = 0, .steady = true, .reduced_agreed = true};
    struct switching s = {0};
    take(&s, "111111111111111", lot);
    assert_int_equal(s.inspection, INSPECTION_REDUCED);
    take(&s, "111", lot);
    assert_int_equal(s.inspection, INSPECTION_REDUCED);
    lot.steady = false;
    take(&s, "1", lot);
    assert_int_equal(s.inspection, INSPECTION_NORMAL);
    assert_int_equal(s.score, 0);
}

static void lots_given_in_again_change_nothing(void **state)
{
    (void)state;
    struct switching_lot again = {.resubmitted = true};
    ends_on("00000000", again, INSPECTION_NORMAL);
    assert_string_equal(inspection_word(INSPECTION_NORMAL), "normal");
    assert_string_equal(inspection_word(INSPECTION_NONE), "discontinued");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_of_five_tighten),
        cmocka_unit_test(five_in_a_row_go_back_and_history_begins_anew),
        cmocka_unit_test(five_refused_on_tightened_stop_until_the_supplier_acts),
        cmocka_unit_test(a_score_of_thirty_reduces),
        cmocka_unit_test(irregular_production_ends_reduced),
        cmocka_unit_test(lots_given_in_again_change_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
