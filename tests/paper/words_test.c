#include "../support.h"

#include "base/civil.h"
#include "paper/words.h"

static void months_are_words(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_string_equal(words_date(&a, day_from_ymd(2026, 3, 7)), "7 March 2026");
    assert_string_equal(words_date(&a, day_from_ymd(2026, 1, 31)), "31 January 2026");
    assert_string_equal(words_date(&a, day_from_ymd(2099, 12, 1)), "1 December 2099");
    arena_release(&a);
}

/* 2026-03-06T23:45:30Z on three clocks */
static void times_name_their_clock(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_string_equal(words_time(&a, 1772840730000, 0), "6 March 2026 23:45 +00:00");
    assert_string_equal(words_time(&a, 1772840730000, 60), "7 March 2026 00:45 +01:00");
    assert_string_equal(words_time(&a, 1772840730000, -210), "6 March 2026 20:15 -03:30");
    arena_release(&a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(months_are_words),
        cmocka_unit_test(times_name_their_clock),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
