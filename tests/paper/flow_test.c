#include "../support.h"

#include "paper/flow.h"
#include "programs.h"

enum { TEXT_ROOM = 1 << 18 };

static struct arena arena;

static int enter(void **state)
{
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    return folder_enter(state);
}

static int leave(void **state)
{
    arena_release(&arena);
    return folder_leave(state);
}

static const struct flow_setup setup = {.title = "A long paper", .foot = "below"};

static char *text_of(void (*body)(struct flow *, const void *), const void *subject, int *out_pages)
{
    const uint8_t *pdf;
    size_t len;
    char *text = arena_alloc(&arena, TEXT_ROOM);
    assert_ok(flow_pdf(&arena, &setup, body, subject, &pdf, &len));
    pdf_text(pdf, len, text, TEXT_ROOM);
    *out_pages = pdf_page_count(pdf, len);
    return text;
}

static void long_paragraph(struct flow *f, const void *subject)
{
    flow_title(f, "A long paper", "title");
    flow_paragraph(f, PAGE_SANS, subject, "note");
}

static void a_paragraph_runs_over_pages(void **state)
{
    (void)state;
    char *note = arena_alloc(&arena, 40000);
    size_t n = 0;
    for (int i = 0; i < 3000; i++) {
        n += (size_t)snprintf(note + n, 40000 - n, "word%04d ", i);
    }
    int pages;
    const char *text = text_of(long_paragraph, note, &pages);
    assert_in_range(pages, 3, 6);
    assert_has(text, "word0000 word0001");
    assert_has(text, "word2998 word2999");
    for (int i = 1; i <= pages; i++) {
        assert_has(text, arena_printf(&arena, "below page %d of %d", i, pages));
    }
}

/* Fills the page line by line, so that each heading tries another place near its end. */
static void headings(struct flow *f, const void *subject)
{
    const int *lines = subject;
    for (int i = 0; i < *lines; i++) {
        flow_paragraph(f, PAGE_SANS, "filling", "note");
    }
    flow_heading(f, "The heading");
    flow_paragraph(f, PAGE_SANS, "What belongs to it.", "note");
}

static void a_heading_stays_with_its_text(void **state)
{
    (void)state;
    bool moved = false;
    for (int lines = 40; lines < 60; lines++) {
        int pages;
        const char *text = text_of(headings, &lines, &pages);
        assert_has(text, "The heading What belongs to it.");
        moved = moved || pages == 2;
    }
    assert_true(moved);
}

static void nothing(struct flow *f, const void *subject)
{
    (void)subject;
    assert_ptr_equal(flow_arena(f), &arena);
    flow_gap(f, 1000);
}

static void an_empty_paper_has_a_page(void **state)
{
    (void)state;
    int pages;
    const char *text = text_of(nothing, NULL, &pages);
    assert_int_equal(pages, 1);
    assert_has(text, "page 1 of 1");
}

static void endless(struct flow *f, const void *subject)
{
    for (int i = 0; i < 30000; i++) {
        flow_paragraph(f, PAGE_SANS, subject, "note");
    }
}

static void no_paper_is_endless(void **state)
{
    (void)state;
    const uint8_t *pdf = NULL;
    size_t len;
    assert_code(flow_pdf(&arena, &setup, endless, "line", &pdf, &len), PAPER_LONG);
    assert_null(pdf);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_paragraph_runs_over_pages, enter, leave),
        cmocka_unit_test_setup_teardown(a_heading_stays_with_its_text, enter, leave),
        cmocka_unit_test_setup_teardown(an_empty_paper_has_a_page, enter, leave),
        cmocka_unit_test_setup_teardown(no_paper_is_endless, enter, leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
