#include "../support.h"

#include "paper/flow.h"
#include "programs.h"

enum { TEXT_ROOM = 1 << 18, BOXES_MAX = 4000 };

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

static const struct flow_column columns[] = {{"Number", 1, PAGE_SANS, PAGE_RIGHT},
                                             {"Text", 4, PAGE_SANS, PAGE_LEFT},
                                             {"Remark", 1, PAGE_MONO, PAGE_CENTRE}};

static void put(struct flow *f, const void *subject)
{
    flow_table(f, subject);
}

static const uint8_t *pdf_of(const struct flow_table *table, size_t *out_len)
{
    static const struct flow_setup setup = {.title = "Table", .foot = ""};
    const uint8_t *pdf;
    assert_ok(flow_pdf(&arena, &setup, put, table, &pdf, out_len));
    return pdf;
}

static struct flow_table rows_of(size_t count, const char *text)
{
    const char **cells = ARENA_ARRAY(&arena, const char *, 3 * count);
    for (size_t i = 0; i < count; i++) {
        cells[3 * i] = arena_printf(&arena, "n%zu", i);
        cells[3 * i + 1] = text;
    }
    return (struct flow_table){.columns = columns,
                               .column_count = 3,
                               .cells = cells,
                               .row_count = count,
                               .head = true,
                               .lines = true,
                               .field = "cells"};
}

static size_t occurrences(const char *text, const char *piece)
{
    size_t count = 0;
    for (const char *at = strstr(text, piece); at != NULL; at = strstr(at + 1, piece)) {
        count++;
    }
    return count;
}

static void titles_stand_on_each_page(void **state)
{
    (void)state;
    struct flow_table table = rows_of(300, "text");
    size_t len;
    const uint8_t *pdf = pdf_of(&table, &len);
    char *text = arena_alloc(&arena, TEXT_ROOM);
    pdf_text(pdf, len, text, TEXT_ROOM);
    assert_int_equal(occurrences(text, "Number Text Remark"), (size_t)pdf_page_count(pdf, len));
    assert_has(text, "n0 text n1 text");
    assert_has(text, "n298 text n299 text");
}

/* Three lines to a row; a row that fits on a page is never torn. */
static void rows_stay_whole(void **state)
{
    (void)state;
    struct flow_table table = rows_of(60, "begin\nmiddle\nend");
    size_t len;
    const uint8_t *pdf = pdf_of(&table, &len);
    char *text = arena_alloc(&arena, TEXT_ROOM);
    pdf_text(pdf, len, text, TEXT_ROOM);
    assert_true(pdf_page_count(pdf, len) > 1);
    assert_int_equal(occurrences(text, "begin middle end"), 60);
}

static void columns_keep_their_share(void **state)
{
    (void)state;
    struct flow_table table = rows_of(1, "text");
    struct word_box boxes[BOXES_MAX];
    size_t len;
    const uint8_t *pdf = pdf_of(&table, &len);
    size_t count = pdf_boxes(pdf, len, boxes, BOXES_MAX);
    bool right = false, left = false;
    for (size_t i = 0; i < count; i++) { /* 180 mm of width, 15 mm of margin, 1.2 mm of padding */
        if (strcmp(boxes[i].text, "n0") == 0) {
            assert_true(boxes[i].right_mm > 43.3 && boxes[i].right_mm < 44);
            right = true;
        } else if (strcmp(boxes[i].text, "text") == 0) {
            assert_true(boxes[i].left_mm > 46 && boxes[i].left_mm < 46.6);
            left = true;
        }
    }
    assert_true(right && left);
}

static void rows_to_write_in_have_their_height(void **state)
{
    (void)state;
    struct flow_table table = rows_of(3, "text");
    struct word_box boxes[BOXES_MAX];
    double top_mm[3];
    size_t len, found = 0;
    table.row_min_mm = 12;
    const uint8_t *pdf = pdf_of(&table, &len);
    size_t count = pdf_boxes(pdf, len, boxes, BOXES_MAX);
    for (size_t i = 0; i < count; i++) {
        if (strcmp(boxes[i].text, "text") == 0) {
            assert_true(found < 3);
            top_mm[found++] = boxes[i].top_mm;
        }
    }
    assert_int_equal(found, 3);
    assert_true(top_mm[1] - top_mm[0] > 11.99 && top_mm[1] - top_mm[0] < 12.01);
    assert_true(top_mm[2] - top_mm[1] > 11.99 && top_mm[2] - top_mm[1] < 12.01);
}

static void no_columns(void *argument)
{
    struct flow_table table = rows_of(1, "text");
    size_t len;
    table.column_count = 0;
    pdf_of(&table, &len);
    (void)argument;
}

static void a_table_without_columns_is_stopped(void **state)
{
    (void)state;
    assert_aborts(no_columns, NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(titles_stand_on_each_page, enter, leave),
        cmocka_unit_test_setup_teardown(rows_stay_whole, enter, leave),
        cmocka_unit_test_setup_teardown(columns_keep_their_share, enter, leave),
        cmocka_unit_test_setup_teardown(rows_to_write_in_have_their_height, enter, leave),
        cmocka_unit_test_setup_teardown(a_table_without_columns_is_stopped, enter, leave),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
