#include "base/csv_decode.h"

#include <iconv.h>
#include <setjmp.h>
#include <stdarg.h>
#include <string.h>

#include <cmocka.h>

/* Yergeau 2003, "UTF-8, a transformation format of ISO 10646" (RFC 3629), section 4: from memory.
 */
static void utf_8_is_judged_strictly(void **state)
{
    static const struct {
        const char *bytes;
        size_t valid;
    } rows[] = {
        {"\x7F", 1},
        {"\xC2\x80", 2},
        {"\xE0\xA0\x80", 3},
        {"\xED\x9F\xBF", 3},
        {"\xEF\xBF\xBF", 3},
        {"\xF0\x90\x80\x80", 4},
        {"\xF4\x8F\xBF\xBF", 4},
        {"\xC0\x80", 0},
        {"\xC1\xBF", 0},
        {"\xE0\x9F\xBF", 0},
        {"\xED\xA0\x80", 0},
        {"\xF0\x8F\xBF\xBF", 0},
        {"\xF5\x80\x80\x80", 0},
        {"\xF4\x90\x80\x80", 0},
        {"\x80", 0},
        {"a\xE2\x82", 1},
        {"\xE2\x28\xA1", 0},
        {"\xF0\x9F\x98", 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        size_t len = strlen(rows[i].bytes);
        assert_int_equal(utf8_valid_len((const unsigned char *)rows[i].bytes, len), rows[i].valid);
    }
}

/* The C library's converter is the other side of this comparison. */
static void windows_1252_agrees_with_the_c_library(void **state)
{
    iconv_t to_utf_8 = iconv_open("UTF-8", "WINDOWS-1252");
    assert_true(to_utf_8 != (iconv_t)-1);
    int undefined = 0;
    for (int byte = 1; byte < 256; byte++) {
        unsigned char one = (unsigned char)byte;
        char *in = (char *)&one;
        char want[8];
        char *at = want;
        size_t in_left = 1;
        size_t out_left = sizeof want;
        bool known = iconv(to_utf_8, &in, &in_left, &at, &out_left) != (size_t)-1;
        char got[4];
        size_t bad;
        size_t len = windows_1252_decode(&one, 1, got, &bad);
        assert_int_equal(bad, known ? 1 : 0);
        undefined += !known;
        if (known) {
            assert_int_equal(len, at - want);
            assert_memory_equal(got, want, len);
        }
    }
    iconv_close(to_utf_8);
    assert_int_equal(undefined, 5);
}

int main(void)
{
    cmocka_set_message_output(CM_OUTPUT_TAP);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(utf_8_is_judged_strictly),
        cmocka_unit_test(windows_1252_agrees_with_the_c_library),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
