/* How the pages say from what a day is reckoned. */
#include "../support.h"

#include "base/civil.h"
#include "service/warmth.h"

static struct arena arena;

static int set_up(void **state)
{
    arena_init(&arena, 1 << 20);
    assert_ok(civil_zone_use("UTC"));
    return 0;
}

static int tear_down(void **state)
{
    arena_release(&arena);
    return 0;
}

/* At 12:00 on 2 January 1970; the last reading two hours before. */
static const char *says(const char *lang, bool logged, int later_days, int left_out)
{
    const int64_t now_ms = INT64_C(36) * 3600000;
    struct warmth w = {.log_ms = logged ? now_ms - 7200000 : 0, .left_out = left_out};
    return warmth_says(&arena, lang, &w, later_days, now_ms);
}

static void it_says_from_what(void **state)
{
    assert_string_equal(says("en", false, 0, 0),
                        "reckoned at its set point, as no log says otherwise");
    assert_string_equal(says("en", true, 0, 0), "reckoned by its log up to 10:00");
    assert_string_equal(says("es", true, 0, 0), "calculado por su registro hasta 10:00");
}

static void it_says_what_that_moves(void **state)
{
    assert_string_equal(says("en", true, 1, 0),
                        "reckoned by its log up to 10:00: one day later than at its set point");
    assert_string_equal(says("en", true, -1, 0),
                        "reckoned by its log up to 10:00: one day sooner than at its set point");
    assert_string_equal(says("en", true, 3, 0),
                        "reckoned by its log up to 10:00: 3 days later than at its set point");
    assert_string_equal(says("es", true, -2, 0),
                        "calculado por su registro hasta 10:00: 2 días antes que a su temperatura "
                        "fijada");
}

/* Of a log that is broken from the first reading on, too. */
static void it_says_what_was_left_out(void **state)
{
    assert_string_equal(says("en", true, 0, 5),
                        "reckoned by its log up to 10:00; left out: readings that no chamber can "
                        "have, in 5 h of the log");
    assert_string_equal(
        says("en", false, 0, 5),
        "reckoned at its set point, as no log says otherwise; left out: readings that no "
        "chamber can have, in 5 h of the log");
}

int main(void)
{
#define TEST(name) cmocka_unit_test_setup_teardown(name, set_up, tear_down)
    const struct CMUnitTest tests[] = {
        TEST(it_says_from_what),
        TEST(it_says_what_that_moves),
        TEST(it_says_what_was_left_out),
    };
#undef TEST
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
