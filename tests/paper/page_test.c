#include "paper/page.h"

#include <math.h>

#include "../support.h"
#include "programs.h"

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

static const struct page_style plain = {.font = PAGE_SANS, .size_pt = 12};

static struct page_document *open_page(int64_t created_ms)
{
    struct page_document *doc;
    assert_ok(page_open(&(struct page_setup){100, 80, "Title", created_ms}, &doc));
    return doc;
}

static struct result page_with(const char *text, const uint8_t **out, size_t *out_len)
{
    struct page_document *doc = open_page(0);
    page_text(doc, &plain, 5, 5, 90, text, "note");
    return page_close(doc, &arena, out, out_len);
}

static void text_stays_text(void **state)
{
    const uint8_t *pdf;
    size_t len;
    char text[4096];
    assert_ok(page_with("Rinse: 85 °C, office flow, Ростки, Βλαστάρια, نبتة", &pdf, &len));
    pdf_words(pdf, len, text, sizeof text);
    assert_has(text, "Rinse: 85 °C, office flow, Ростки, Βλαστάρια");
    assert_has(text, "نبتة");
    assert_int_equal(pdf_page_count(pdf, len), 1);
}

static void the_page_has_its_true_size(void **state)
{
    const uint8_t *pdf;
    size_t len;
    char out[4096];
    assert_ok(page_with("A", &pdf, &len));
    assert_int_equal(pdf_page_count(pdf, len), 1); /* leaves page.pdf */
    const char *arguments[] = {"pdfinfo", "page.pdf", NULL};
    assert_int_equal(program_run(arguments, out, sizeof out), 0);
    double width_pt, height_pt;
    const char *line = strstr(out, "Page size:");
    assert_non_null(line);
    assert_int_equal(sscanf(line, "Page size: %lf x %lf", &width_pt, &height_pt), 2);
    assert_true(fabs(width_pt - 100 * 72 / 25.4) < 0.001);
    assert_true(fabs(height_pt - 80 * 72 / 25.4) < 0.001);
    assert_non_null(strstr(out, "Title:           Title\n"));
}

static void the_same_input_gives_the_same_bytes(void **state)
{
    const uint8_t *one, *two;
    size_t one_len, two_len;
    assert_ok(page_with("Lot P26066-1 Ростки", &one, &one_len));
    assert_ok(page_with("Lot P26066-1 Ростки", &two, &two_len));
    assert_int_equal(one_len, two_len);
    assert_memory_equal(one, two, one_len);
    struct page_document *doc = open_page(1772840730000); /* 2026-03-06T23:45:30Z */
    page_text(doc, &plain, 5, 5, 90, "Lot P26066-1 Ростки", "note");
    assert_ok(page_close(doc, &arena, &two, &two_len));
    assert_non_null(memmem(one, one_len, "19700101000000Z", 15));
    assert_non_null(memmem(two, two_len, "20260306234530Z", 15));
}

static void pages_follow_each_other(void **state)
{
    struct page_document *doc = open_page(0);
    page_text(doc, &plain, 5, 5, 90, "first", "note");
    page_next(doc);
    page_rectangle(doc, 5, 20, 10, 10, 0);
    page_frame(doc, 5, 40, 10, 10, 0.5);
    page_text(doc, &plain, 5, 5, 90, "second", "note");
    const uint8_t *pdf;
    size_t len;
    char text[4096];
    assert_ok(page_close(doc, &arena, &pdf, &len));
    assert_int_equal(pdf_page_count(pdf, len), 2);
    pdf_text(pdf, len, text, sizeof text);
    assert_has(text, "first second");
}

static void the_first_failure_is_told(void **state)
{
    const uint8_t *pdf;
    size_t len;
    struct result r = page_with("beep \a", &pdf, &len);
    assert_code(r, PAPER_TEXT);
    assert_string_equal(r.field, "note");
    assert_int_equal(r.column, 6);
    assert_code(page_with("\xff\xfe", &pdf, &len), PAPER_TEXT);
    assert_code(page_with("\xc2\x85", &pdf, &len), PAPER_TEXT);
    /* a private character, for which no font stands in */
    r = page_with("a \xf4\x8f\xbf\xbd", &pdf, &len);
    assert_code(r, PAPER_GLYPH);
    struct page_document *doc = open_page(0);
    page_text(doc, &plain, 5, 5, 90, "\a", "one");
    page_text(doc, &plain, 5, 5, 90, "\a", "two");
    r = page_close(doc, &arena, &pdf, &len);
    assert_code(r, PAPER_TEXT);
    assert_string_equal(r.field, "one");
    assert_code(page_open(&(struct page_setup){100, 80, "\xff", 0}, &doc), PAPER_TEXT);
}

static void blocks_know_their_lines(void **state)
{
    struct page_document *doc = open_page(0);
    struct page_block *b = page_block_new(doc, &plain, 0, "one\ntwo\nthree", "note");
    assert_int_equal(page_block_lines(b), 3);
    double line_mm = page_block_height_mm(b, 0, 1);
    assert_true(line_mm > 4 && line_mm < 6);
    assert_true(fabs(page_block_height_mm(b, 0, 3) - 3 * line_mm) < 0.01);
    assert_true(fabs(page_block_height_mm(b, 1, 2) - 2 * line_mm) < 0.01);
    assert_true(page_block_height_mm(b, 1, 0) == 0);
    assert_false(page_block_cuts_words(b));
    page_block_free(b);
    b = page_block_new(doc, &plain, 30, "sprouts and sprouts", "note");
    assert_int_equal(page_block_lines(b), 2);
    assert_true(page_block_width_mm(b) <= 30);
    assert_false(page_block_cuts_words(b));
    page_block_free(b);
    b = page_block_new(doc, &plain, 20, "SPROUTSPROUTSPROUT", "note");
    assert_true(page_block_lines(b) > 1);
    assert_true(page_block_cuts_words(b));
    page_block_free(b);
    page_drop(doc);
}

/* A code cut between two lines keeps its own characters: no hyphen is put in. */
static void a_cut_code_gains_nothing(void **state)
{
    struct page_document *doc = open_page(0);
    page_text(doc, &plain, 5, 5, 30, "0123456789abcdef0123456789abcdef", "root");
    const uint8_t *pdf;
    size_t len;
    char text[4096], joined[4096];
    assert_ok(page_close(doc, &arena, &pdf, &len));
    pdf_text(pdf, len, text, sizeof text);
    size_t n = 0;
    for (const char *c = text; *c != '\0'; c++) {
        if (*c != ' ') {
            joined[n++] = *c;
        }
    }
    joined[n] = '\0';
    assert_string_equal(joined, "0123456789abcdef0123456789abcdef");
    assert_true(strlen(text) > n + 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(text_stays_text, enter, leave),
        cmocka_unit_test_setup_teardown(the_page_has_its_true_size, enter, leave),
        cmocka_unit_test_setup_teardown(the_same_input_gives_the_same_bytes, enter, leave),
        cmocka_unit_test_setup_teardown(pages_follow_each_other, enter, leave),
        cmocka_unit_test_setup_teardown(the_first_failure_is_told, enter, leave),
        cmocka_unit_test_setup_teardown(blocks_know_their_lines, enter, leave),
        cmocka_unit_test_setup_teardown(a_cut_code_gains_nothing, enter, leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
