#include "asked.h"

static void tubes_come_in_threes_and_whole(void **state)
{
    (void)state;
    asked_refused("mpn", "{\"levels\": [[0.1, 3]]}", CODE_FIELD_RANGE, "levels");
    asked_refused("mpn", "{\"levels\": [[0.1, 3, 1], [0.01, 3, 0.5]]}", CODE_FIELD_TYPE,
                  "levels[1][2]");
    asked_refused("mpn", "{\"levels\": [[0.1, 3e300, 1]]}", CODE_FIELD_TYPE, "levels[0][1]");
    asked_refused("mpn", "{\"levels\": [[0.1, 3, 4]]}", CODE_FIELD_RANGE, "levels[0][2]");
}

static void what_all_tubes_alike_leave_out(void **state)
{
    (void)state;
    const char *none = "{\"levels\": [[0.1, 3, 0]]}", *all = "{\"levels\": [[0.1, 1, 1]]}";
    assert_true(asked_gives("mpn", none, "mpn") && asked_gives("mpn", none, "one_sided_high"));
    assert_false(asked_gives("mpn", none, "log10") || asked_gives("mpn", none, "jarvis_low"));
    assert_false(asked_gives("mpn", all, "mpn") || asked_gives("mpn", all, "shown"));
    assert_true(asked_gives("mpn", all, "one_sided_low"));
}

static void doubt_is_said(void **state)
{
    (void)state;
    const char *odd = "{\"levels\": [[0.1, 5, 0], [0.01, 5, 5], [0.001, 5, 0]]}";
    assert_true(asked_warns("mpn", odd, "improbable"));
    const char *recalled = "{\"levels\": [[0.1, 3, 3], [0.01, 3, 1], [0.001, 3, 0]]}";
    assert_true(asked_warns("mpn", recalled, "from memory"));
    asked_says("mpn", recalled, "table_word", "from memory");
    const char *seen = "{\"levels\": [[0.1, 3, 2], [0.01, 3, 2], [0.001, 3, 0]]}";
    assert_false(asked_warns("mpn", seen, "from memory"));
    asked_says("mpn", seen, "table_word", "published (seen)");
}

static void plates_are_reported_as_laboratories_do(void **state)
{
    (void)state;
    asked_says("plate-count", "{\"plates\": [[0.1, 0], [0.1, 0]]}", "shown", "<5.0");
    asked_says("plate-count", "{\"too_many\": [[0.01, 250]]}", "shown", ">25000");
    assert_false(asked_gives("plate-count", "{\"too_many\": [[0.01, 250]]}", "high"));
    assert_false(asked_gives("plate-count", "{\"plates\": [[0.1, 0]]}", "log10"));
    assert_true(asked_warns("plate-count", "{\"plates\": [[0.1, 20]]}", "below the countable"));
    assert_true(asked_warns("plate-count", "{\"plates\": [[0.1, 500]]}", "above the countable"));
    asked_refused("plate-count", "{}", CODE_FIELD_RANGE, "plates");
    asked_refused("plate-count", "{\"plates\": [[0.1, 3, 1]]}", CODE_FIELD_RANGE, "plates");
    asked_refused("plate-count", "{\"too_many\": [[0.1, 30.5]]}", CODE_FIELD_TYPE,
                  "too_many[0][1]");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tubes_come_in_threes_and_whole),
        cmocka_unit_test(what_all_tubes_alike_leave_out),
        cmocka_unit_test(doubt_is_said),
        cmocka_unit_test(plates_are_reported_as_laboratories_do),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
