#include "paper/sheet.h"

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

static const struct sheet_column columns[] = {
    {"Chamber", 2, SHEET_LEFT}, {"Seed", 1, SHEET_RIGHT}, {"Done by", 3, SHEET_CENTRE}};
static const char *const cells[] = {"Chamber 1", "118 kg", NULL, "Chamber 4", "120 kg", NULL};
static const char *const lines[] = {"Early shift, 7 March 2026"};
static const char *const notes[] = {"Write the time as the clock on the wall shows it."};
static const char *const sign_lines[] = {"Line lead", "Quality"};

static struct sheet good_sheet(void)
{
    return (struct sheet){
        .title = "Starts of the day",
        .lines = lines,
        .line_count = 1,
        .columns = columns,
        .column_count = 3,
        .cells = cells,
        .row_count = 2,
        .blank_rows = 3,
        .row_min_mm = 9,
        .notes = notes,
        .note_count = 1,
        .sign_lines = sign_lines,
        .sign_line_count = 2,
        .foot = "tree size 812",
        .across = true,
    };
}

static void people_read_the_sheet(void **state)
{
    struct sheet sheet = good_sheet();
    const uint8_t *pdf;
    size_t len;
    char text[8192];
    assert_ok(sheet_pdf(&arena, &sheet, &pdf, &len));
    assert_int_equal(pdf_page_count(pdf, len), 1);
    pdf_text(pdf, len, text, sizeof text);
    assert_has(text, "Starts of the day Early shift, 7 March 2026 Chamber Seed Done by");
    assert_has(text, "Chamber 1 118 kg Chamber 4 120 kg");
    assert_has(text, notes[0]);
    assert_has(text, "Line lead name date and time Quality name date and time");
    assert_has(text, "tree size 812");
    assert_has(text, "page 1 of 1");
}

/* 60 rows of 20 mm on upright A4: twelve or thirteen to a page. */
static void blank_rows_take_pages(void **state)
{
    struct sheet sheet = good_sheet();
    sheet.across = false;
    sheet.row_count = 0;
    sheet.blank_rows = 60;
    sheet.row_min_mm = 20;
    const uint8_t *pdf;
    size_t len;
    assert_ok(sheet_pdf(&arena, &sheet, &pdf, &len));
    assert_in_range(pdf_page_count(pdf, len), 5, 6);
}

static void bad_sheets_are_refused(void **state)
{
    const uint8_t *pdf;
    size_t len;
    struct sheet sheet = good_sheet();
    sheet.title = "";
    assert_code(sheet_pdf(&arena, &sheet, &pdf, &len), FIELD_MISSING);
    sheet = good_sheet();
    sheet.column_count = 0;
    assert_code(sheet_pdf(&arena, &sheet, &pdf, &len), FIELD_RANGE);
    sheet.column_count = 13;
    assert_code(sheet_pdf(&arena, &sheet, &pdf, &len), FIELD_RANGE);
    sheet = good_sheet();
    sheet.blank_rows = 501;
    assert_code(sheet_pdf(&arena, &sheet, &pdf, &len), FIELD_RANGE);
    sheet = good_sheet();
    sheet.row_min_mm = 61;
    assert_code(sheet_pdf(&arena, &sheet, &pdf, &len), FIELD_RANGE);
    sheet = good_sheet();
    struct sheet_column none[] = {{"A", 1, SHEET_LEFT}, {"B", 0, SHEET_LEFT}};
    sheet.columns = none;
    sheet.column_count = 2;
    assert_code(sheet_pdf(&arena, &sheet, &pdf, &len), FIELD_RANGE);
    sheet = good_sheet();
    sheet.cells = (const char *const[]){"\a", "", "", "", "", ""};
    struct result r = sheet_pdf(&arena, &sheet, &pdf, &len);
    assert_code(r, PAPER_TEXT);
    assert_string_equal(r.field, "cells");
}

static void the_same_sheet_gives_the_same_bytes(void **state)
{
    struct sheet sheet = good_sheet();
    const uint8_t *one, *two;
    size_t one_len, two_len;
    assert_ok(sheet_pdf(&arena, &sheet, &one, &one_len));
    assert_ok(sheet_pdf(&arena, &sheet, &two, &two_len));
    assert_int_equal(one_len, two_len);
    assert_memory_equal(one, two, one_len);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(people_read_the_sheet, enter, leave),
        cmocka_unit_test_setup_teardown(blank_rows_take_pages, enter, leave),
        cmocka_unit_test_setup_teardown(bad_sheets_are_refused, enter, leave),
        cmocka_unit_test_setup_teardown(the_same_sheet_gives_the_same_bytes, enter, leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
