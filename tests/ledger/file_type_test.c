/* What a file is, by its bytes. */
#include "fixture.h"

#include "ledger/file_type.h"

static const char *type_of(const void *bytes, size_t len, const char *name)
{
    const char *type = file_type(bytes, len, name);
    return type != NULL ? type : "none";
}

static void a_file_is_what_its_bytes_say(void **state)
{
    assert_string_equal(type_of("%PDF-1.7", 8, "x.txt"), "pdf");
    assert_string_equal(type_of("\x89PNG\r\n\x1a\n..", 10, "x.pdf"), "png");
    assert_string_equal(type_of("\xff\xd8\xff\xe0", 4, "x"), "jpeg");
    assert_string_equal(type_of("{\"a\":1}", 7, "x.csv"), "json");
    assert_string_equal(type_of("a;b\r\n1;2\r\n", 10, "x.CSV"), "csv");
    assert_string_equal(type_of("{not json", 9, "x"), "txt");
    assert_string_equal(type_of("M\xfcnchen", 7, "x.txt"),
                        "txt"); /* Windows-1252, as programs export it */
    assert_string_equal(type_of("\xff\xfe"
                                "a\0",
                                4, "x.csv"),
                        "none"); /* UTF-16 */
    assert_string_equal(type_of("PK\x03\x04", 4, "x.docx"), "none");
    assert_string_equal(type_of("", 0, "x.txt"), "none");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_file_is_what_its_bytes_say),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
