#include "../support.h"

#include "web/embedded.h"

static void the_files_come_back_with_a_zero_after_them(void **state)
{
    (void)state;
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_true(web_texts_count >= 2);
    for (size_t i = 0; i < web_texts_count; i++) {
        const char *text = embedded_bytes(&a, &web_texts[i]);
        assert_int_equal(strlen(text), web_texts[i].len);
        assert_memory_equal(text, "<!doctype html>", strlen("<!doctype html>"));
        assert_non_null(strstr(text, "</html>"));
    }
    arena_release(&a);
}

static void what_is_kept_is_gzip_of_the_same_length(void **state)
{
    (void)state;
    for (size_t i = 0; i < web_schemas_count; i++) {
        const struct embedded_file *file = &web_schemas[i];
        const unsigned char *end = file->gzip + file->gzip_len - 4; /* RFC 1952, 2.3.1: ISIZE */
        assert_int_equal(file->gzip[0], 0x1f);                      /* RFC 1952, 2.3.1: ID1, ID2 */
        assert_int_equal(file->gzip[1], 0x8b);
        assert_int_equal(end[0] | end[1] << 8 | end[2] << 16 | end[3] << 24, file->len);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_files_come_back_with_a_zero_after_them),
        cmocka_unit_test(what_is_kept_is_gzip_of_the_same_length),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
