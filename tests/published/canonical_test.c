/* Rundgren, Jordan, Erdtman 2020, RFC 8785, JSON Canonicalization Scheme - published (seen): the
 * examples without real numbers, which this program never writes. */
#include "../support.h"

#include "base/json.h"

static void assert_canonical(const char *source, const char *text, const char *wanted)
{
    struct arena a;
    arena_init(&a, 1 << 20);
    json_t *value = NULL;
    assert_ok(json_read(text, strlen(text), 1 << 20, &value));
    const char *got = json_canonical(&a, value);
    if (strcmp(got, wanted) != 0) {
        print_error("%s\n", source);
    }
    assert_string_equal(got, wanted);
    json_decref(value);
    arena_release(&a);
}

static void names_are_sorted(void **state)
{
    (void)state;
    assert_canonical("RFC 8785, section 3.2.3",
                     "{\"\\u20ac\": \"Euro Sign\", \"\\r\": \"Carriage Return\","
                     " \"\\ufb33\": \"Hebrew Letter Dalet With Dagesh\", \"1\": \"One\","
                     " \"\\ud83d\\ude00\": \"Emoji: Grinning Face\", \"\\u0080\": \"Control\","
                     " \"\\u00f6\": \"Latin Small Letter O With Diaeresis\"}",
                     "{\"\\r\":\"Carriage Return\",\"1\":\"One\",\"\xc2\x80\":\"Control\","
                     "\"\u00f6\":\"Latin Small Letter O With Diaeresis\",\"\u20ac\":\"Euro Sign\","
                     "\"\U0001F600\":\"Emoji: Grinning Face\","
                     "\"\ufb33\":\"Hebrew Letter Dalet With Dagesh\"}");
}

static void texts_are_escaped(void **state)
{
    (void)state;
    assert_canonical(
        "RFC 8785, section 3.2.2, without its numbers",
        "{\"string\": \"\\u20ac$\\u000F\\u000aA'\\u0042\\u0022\\u005c\\\\\\\"\\/\","
        " \"literals\": [null, true, false]}",
        "{\"literals\":[null,true,false],\"string\":\"\u20ac$\\u000f\\nA'B\\\"\\\\\\\\\\\"/\"}");
}

static void the_authors_test_data(void **state)
{
    (void)state;
    assert_canonical(
        "github.com/cyberphone/json-canonicalization, testdata weird.json",
        "{\"\\u20ac\": \"Euro Sign\", \"1\": \"One\", \"\\u0080\": \"Control\\u007f\","
        " \"\\ud83d\\ude02\": \"Smiley\","
        " \"\\u00f6\": \"Latin Small Letter O With Diaeresis\","
        " \"\\ufb33\": \"Hebrew Letter Dalet With Dagesh\","
        " \"</script>\": \"Browser Challenge\"}",
        "{\"1\":\"One\",\"</script>\":\"Browser Challenge\",\"\xc2\x80\":\"Control\x7f\","
        "\"\u00f6\":\"Latin Small Letter O With Diaeresis\",\"\u20ac\":\"Euro Sign\","
        "\"\U0001F602\":\"Smiley\",\"\ufb33\":\"Hebrew Letter Dalet With Dagesh\"}");
    assert_canonical(
        "github.com/cyberphone/json-canonicalization, testdata structures.json, 56 for 56.0",
        "{\"1\": {\"f\": {\"f\": \"hi\", \"F\": 5}, \"\\n\": 56}, \"10\": {},"
        " \"\": \"empty\", \"a\": {}, \"111\": [{}], \"A\": {}}",
        "{\"\":\"empty\",\"1\":{\"\\n\":56,\"f\":{\"F\":5,\"f\":\"hi\"}},\"10\":{},"
        "\"111\":[{}],\"A\":{},\"a\":{}}");
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_are_sorted),
        cmocka_unit_test(texts_are_escaped),
        cmocka_unit_test(the_authors_test_data),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
