/* Amounts, times and titles as sentences have them; entries by time. */
#include "view_support.h"

#include "service/view_inner.h"

/* What was filled is the caller's; what was not is gone, and out stays as it was. */
static void what_was_filled_is_handed_over(void **state)
{
    (void)state;
    json_t *o = json_object(), *out = NULL;
    assert_code(view_hand_over(FAIL1(LOT_UNKNOWN, "lot", "X"), json_object(), &out), LOT_UNKNOWN);
    assert_null(out);
    assert_ok(view_hand_over(RESULT_OK, o, &out));
    assert_ptr_equal(out, o);
    json_decref(out);
}

static void amounts_and_times_are_short(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct view v = view_as(&h, 1, "manager");
    assert_string_equal(view_mass(&v, 940123456), "940 kg");
    assert_string_equal(view_mass(&v, 9412345), "9.4 kg");
    assert_string_equal(view_minutes(&v, 119), "119 min");
    assert_string_equal(view_minutes(&v, 574), "9 h 34 min");
    assert_string_equal(view_hours(&v, 47 * (int64_t)HOUR_MS), "47 h");
    assert_string_equal(view_hours(&v, 49 * (int64_t)HOUR_MS), "2 d");
    assert_string_equal(view_clock(&v, h.fixed.now_ms), "04:00");
    assert_string_equal(view_clock(&v, h.fixed.now_ms - DAY_MS), "1 March 2026 04:00");
    v.lang = "es";
    assert_string_equal(view_clock(&v, h.fixed.now_ms - DAY_MS), "1 de marzo de 2026 04:00");
    assert_string_equal(view_step(&v, "harvest"), "Cosechar");
    assert_string_equal(view_step(&v, "peel"), "peel"); /* of another house */
    house_close(&h);
}

static void house_days_begin_when_the_profile_says(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    struct view v = view_as(&h, 1, "manager");
    int64_t start_ms;
    assert_int_equal(view_day(&v, h.fixed.now_ms), 20514);
    assert_int_equal(view_day(&v, h.fixed.now_ms - 1), 20513);
    assert_ok(view_day_start(&v, 20514, &start_ms));
    assert_int_equal(start_ms, h.fixed.now_ms); /* four o'clock */
    house_close(&h);
}

static void entries_are_found_by_the_time_they_were_booked(void **state)
{
    (void)state;
    struct house h;
    house_open(&h);
    int64_t last = h.lg->next_seq - 1, seq;
    house_wait(&h, "1 h");
    house_deliver(&h, "SL-1");
    house_wait(&h, "1 h");
    house_deliver(&h, "SL-1");
    struct view v = view_as(&h, 1, "manager");
    assert_ok(view_entry_since(&v, h.fixed.now_ms - HOUR_MS, &seq));
    assert_int_equal(seq, last + 1);
    assert_ok(view_entry_since(&v, h.fixed.now_ms - HOUR_MS + 1, &seq));
    assert_int_equal(seq, last + 2);
    assert_ok(view_entry_since(&v, h.fixed.now_ms + 1, &seq));
    assert_int_equal(seq, last + 3);
    assert_ok(view_entry_since(&v, 0, &seq));
    assert_int_equal(seq, 1);
    house_close(&h);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_was_filled_is_handed_over),
        cmocka_unit_test(amounts_and_times_are_short),
        cmocka_unit_test(house_days_begin_when_the_profile_says),
        cmocka_unit_test(entries_are_found_by_the_time_they_were_booked),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
