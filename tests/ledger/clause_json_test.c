/* The list of clauses as it is kept with a release. */
#include "clause_world.h"

static struct clause_world w;

static int set_up(void **state)
{
    world_open(&w);
    return 0;
}

static int tear_down(void **state)
{
    world_close(&w);
    return 0;
}

static void the_list_is_plain_json(void **state)
{
    w.e.checks[w.e.check_count - 1].ok = false; /* the label check */
    world_judge(&w);
    json_t *list = clauses_json(&w.list);
    assert_int_equal(json_array_size(list), w.list.line_count);
    size_t unmet = 0, i;
    json_t *line;
    json_array_foreach(list, i, line)
    {
        if (strcmp(json_string_value(json_object_get(line, "state")), "unmet") == 0) {
            unmet++;
            assert_string_equal(json_string_value(json_object_get(line, "clause")), "label");
            assert_string_equal(json_string_value(json_object_get(line, "code")),
                                "clause-label-failed");
            assert_string_equal(
                json_string_value(json_array_get(json_object_get(line, "values"), 0)), "P-1");
            assert_int_equal(json_array_size(json_object_get(line, "entries")), 1);
        }
    }
    assert_int_equal(unmet, 1);
    assert_true(strlen(json_canonical(&w.arena, list)) > 100);
    json_decref(list);
}

#define T(function) cmocka_unit_test_setup_teardown(function, set_up, tear_down)

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(the_list_is_plain_json),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
