/* A machine without fonts: the font library is told that the root of the file system is empty. It
 * reads that once, so this stands in a program of its own. */
#include "paper/page.h"

#include "../support.h"

static void a_missing_font_is_named(void **state)
{
    assert_int_equal(setenv("FONTCONFIG_SYSROOT", "/nowhere", 1), 0);
    struct page_document *doc;
    struct result r = page_open(&(struct page_setup){100, 80, "Title", 0}, &doc);
    assert_code(r, PAPER_FONT);
    struct arena arena;
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    assert_string_equal(result_sentence(&arena, &r),
                        "This machine lacks the font DejaVu Sans. Install the package "
                        "fonts-dejavu-core, then print again.");
    arena_release(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_missing_font_is_named)};
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
