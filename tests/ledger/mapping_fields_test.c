#include "mapping_support.h"

static void every_field_has_one_name(void **state)
{
    static const int counts[FEED_KINDS] = {7, 33, 5, 24, 9};
    for (int kind = 0; kind < FEED_KINDS; kind++) {
        for (int field = 0; field < counts[kind]; field++) {
            const char *name = mapping_field_name((enum feed_kind)kind, field);
            if (name != NULL) { /* a logger has no verdict */
                assert_int_equal(mapping_field((enum feed_kind)kind, name), field);
            } else {
                assert_int_equal(field, READINGS_VERDICT);
            }
        }
        assert_true(counts[kind] <= MAPPING_FIELDS_MAX);
        assert_int_equal(mapping_field((enum feed_kind)kind, "strange"), MAPPING_NO_FIELD);
    }
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_field_has_one_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
