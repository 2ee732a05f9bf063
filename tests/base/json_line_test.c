#include "../support.h"

#include "base/json.h"

static const char text[] = "\n"                                    /* 1 */
                           "{\n"                                   /* 2 */
                           "  \"name\": \"a ] } \\\" , [\",\n"     /* 3 */
                           "  \"steps\": [\n"                      /* 4 */
                           "    {\"act\": \"soak\", \"n\": -1},\n" /* 5 */
                           "    {\n"                               /* 6 */
                           "      \"act\":\n"                      /* 7 */
                           "        \"grow\",\n"                   /* 8 */
                           "      \"checks\": [\n"                 /* 9 */
                           "        [], {}, [[1,\n"                /* 10 */
                           "        2]], {\"low\":\n"              /* 11 */
                           "        5}\n"                          /* 12 */
                           "      ]\n"                             /* 13 */
                           "    }\n"                               /* 14 */
                           "  ],\n"                                /* 15 */
                           "  \"\": null, \"last\": true\n"        /* 16 */
                           "}\n";

static void each_value_has_its_line(void **state)
{
    (void)state;
    static const struct {
        const char *path;
        int line;
    } cases[] = {
        {"", 2},
        {"name", 3},
        {"steps", 4},
        {"steps[0]", 5},
        {"steps[0].n", 5},
        {"steps[1]", 6},
        {"steps[1].act", 8},
        {"steps[1].checks", 9},
        {"steps[1].checks[2][0][1]", 11},
        {"steps[1].checks[3]", 11},
        {"steps[1].checks[3].low", 12},
        {"last", 16},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_int_equal(json_line_of(text, cases[i].path), cases[i].line);
    }
}

static void a_missing_value_has_its_parents_line(void **state)
{
    (void)state;
    assert_int_equal(json_line_of(text, "nothing"), 2);
    assert_int_equal(json_line_of(text, "steps[9]"), 4);
    assert_int_equal(json_line_of(text, "steps[1].checks[3].high"), 11);
    assert_int_equal(json_line_of(text, "steps[1].checks[3].low.more"), 12);
    assert_int_equal(json_line_of(text, "name[0]"), 3);
    assert_int_equal(json_line_of(text, "steps.act"), 4);
}

static void any_text_and_path_end(void **state)
{
    (void)state;
    assert_int_equal(json_line_of("", "a"), 1);
    assert_int_equal(json_line_of("{\"a", "a"), 1);
    assert_int_equal(json_line_of("{\"a\\", "b"), 1);
    assert_int_equal(json_line_of("[[[[", "[1]"), 1);
    assert_int_equal(json_line_of("{\"a\":{\"b\"", "a.b.c"), 1);
    assert_int_equal(json_line_of("[1,2]", "[x"), 1);
    assert_int_equal(json_line_of("[1,2]", "["), 1);
    assert_int_equal(json_line_of("{}", "..a"), 1);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_value_has_its_line),
        cmocka_unit_test(a_missing_value_has_its_parents_line),
        cmocka_unit_test(any_text_and_path_end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
