#include "asked.h"

static void every_level_and_limit_is_known(void **state)
{
    (void)state;
    asked_says("sampling-plan", "{\"lot_size\": 1000, \"level\": \"S-4\", \"aql\": \"6.5\"}",
               "code", "F");
    asked_says("sampling-plan", "{\"lot_size\": 1000, \"level\": \"III\", \"aql\": \"0.65\"}",
               "code", "K");
    asked_says("sampling-plan", "{\"lot_size\": 2, \"aql\": \"6.5\"}", "inspect_all", "yes");
    const char *tight = "{\"lot_size\": 200000, \"aql\": \"1.0\", \"inspection\": \"tightened\"}";
    assert_true(asked_warns("sampling-plan", tight, "from memory"));
    assert_false(asked_gives("sampling-plan", tight, "reduced_samples"));
    asked_refused("sampling-plan", "{\"lot_size\": 20, \"aql\": \"0.4\"}", CODE_FIELD_CHOICE,
                  "aql");
}

static void a_history_ends_and_begins_again(void **state)
{
    (void)state;
    asked_says("switching", "{\"lots\": [0, 0, 0, 0, 0, 0, 0]}", "inspection", "discontinued");
    assert_true(asked_warns("switching", "{\"lots\": [0, 0, 0, 0, 0, 0, 0]}", "Accept no lot"));
    asked_says("switching", "{\"lots\": [0, 0, 0, 0, 0, 0, 0, 2]}", "inspection", "tightened");
    asked_says("switching",
               "{\"lots\": [1,1,1,1,1,1,1,1,1,1], \"passes_tighter\": [1,1,1,1,1,1,1,1,1,1], "
               "\"accept\": 3, \"steady\": \"yes\", \"reduced_agreed\": \"yes\"}",
               "inspection", "reduced");
    asked_refused("switching", "{\"lots\": [1, 0.5]}", CODE_FIELD_TYPE, "lots[1]");
    asked_refused("switching", "{\"lots\": [1, 1], \"passes_tighter\": [1]}", CODE_FIELD_RANGE,
                  "passes_tighter");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_level_and_limit_is_known),
        cmocka_unit_test(a_history_ends_and_begins_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
