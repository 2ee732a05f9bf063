#include "paper/sheet.h"

#include "paper/flow.h"

enum { BLANK_ROWS_MAX = 500 };
#define ROW_MAX_MM 60.0
#define SIGN_ROOM_MM 11.0

static void put_table(struct flow *f, const struct sheet *s)
{
    static const enum page_align aligns[] = {PAGE_LEFT, PAGE_CENTRE, PAGE_RIGHT};
    struct flow_column columns[FLOW_COLUMNS_MAX];
    for (size_t i = 0; i < s->column_count; i++) {
        columns[i] = (struct flow_column){s->columns[i].title, s->columns[i].share, PAGE_SANS,
                                          aligns[s->columns[i].align]};
    }
    size_t filled = s->row_count * s->column_count;
    size_t rows = s->row_count + s->blank_rows;
    const char **cells = ARENA_ARRAY(flow_arena(f), const char *, rows * s->column_count);
    for (size_t i = 0; i < filled; i++) {
        cells[i] = s->cells[i];
    }
    flow_table(f, &(struct flow_table){.columns = columns,
                                       .column_count = s->column_count,
                                       .cells = cells,
                                       .row_count = rows,
                                       .head = true,
                                       .lines = true,
                                       .row_min_mm = s->row_min_mm,
                                       .field = "cells"});
}

/* Name and date are written by hand above the line. */
static void put_sign_lines(struct flow *f, const struct sheet *s)
{
    static const struct flow_column columns[] = {{"", 3, PAGE_SANS, PAGE_LEFT},
                                                 {"", 6, PAGE_SANS, PAGE_LEFT},
                                                 {"", 3, PAGE_SANS, PAGE_LEFT}};
    for (size_t i = 0; i < s->sign_line_count; i++) {
        flow_gap(f, SIGN_ROOM_MM);
        const char *cells[] = {s->sign_lines[i], flow_say(f, "paper.sign-name"),
                               flow_say(f, "paper.sign-time")};
        flow_table(f, &(struct flow_table){.columns = columns,
                                           .column_count = 3,
                                           .cells = cells,
                                           .row_count = 1,
                                           .lines = true,
                                           .field = "sign_lines"});
    }
}

static void body(struct flow *f, const void *subject)
{
    const struct sheet *s = subject;
    flow_title(f, s->title, "title");
    for (size_t i = 0; i < s->line_count; i++) {
        flow_paragraph(f, PAGE_SANS, s->lines[i], "lines");
    }
    put_table(f, s);
    for (size_t i = 0; i < s->note_count; i++) {
        flow_paragraph(f, PAGE_SANS, s->notes[i], "notes");
    }
    put_sign_lines(f, s);
}

static struct result check(struct arena *a, const struct sheet *s)
{
    if (s->title == NULL || s->title[0] == '\0') {
        return FAIL1(FIELD_MISSING, "title", "A sheet says what it is for.");
    }
    if (s->column_count < 1 || s->column_count > FLOW_COLUMNS_MAX) {
        return FAIL2(FIELD_RANGE, "columns", arena_printf(a, "%zu", s->column_count), "1 to 12");
    }
    if (s->blank_rows > BLANK_ROWS_MAX) {
        return FAIL2(FIELD_RANGE, "blank_rows", arena_printf(a, "%zu", s->blank_rows), "0 to 500");
    }
    if (!(s->row_min_mm >= 0 && s->row_min_mm <= ROW_MAX_MM)) {
        return FAIL2(FIELD_RANGE, "row_min_mm", arena_printf(a, "%g", s->row_min_mm), "0 to 60");
    }
    for (size_t i = 0; i < s->column_count; i++) {
        if (!(s->columns[i].share > 0)) {
            return FAIL2(FIELD_RANGE, arena_printf(a, "columns[%zu].share", i),
                         arena_printf(a, "%g", s->columns[i].share), "above 0");
        }
    }
    return RESULT_OK;
}

struct result sheet_pdf(struct arena *a, const struct sheet *s, const uint8_t **out,
                        size_t *out_len)
{
    TRY(check(a, s));
    struct flow_setup setup = {
        .lang = s->lang,
        .title = s->title,
        .foot = s->foot == NULL ? "" : s->foot,
        .across = s->across,
        .created_ms = s->created_ms,
    };
    return flow_pdf(a, &setup, body, s, out, out_len);
}
