/* A plain table on A4 for people at work: a shift's starts, a cleaning list, a count, with room to
 * write by hand. */
#ifndef PAPER_SHEET_H
#define PAPER_SHEET_H

#include "base/result.h"

enum sheet_align { SHEET_LEFT, SHEET_CENTRE, SHEET_RIGHT };

/* share: of the paper's width. */
struct sheet_column {
    const char *title;
    double share;
    enum sheet_align align;
};

/* lines        below the title: place, shift, day
 * cells        row by row, column_count (1..12) in each, NULL is an empty one
 * blank_rows   after the filled ones, at most 500
 * row_min_mm   room to write, 0..60
 * notes        below the table
 * sign_lines   each gets a line to sign on
 * foot         on every page, for the signed tree head; NULL: none
 * across       the paper's long side lies flat
 * lang         of what the paper says by itself; NULL: English */
struct sheet {
    const char *lang;
    const char *title;
    const char *const *lines;
    size_t line_count;
    const struct sheet_column *columns;
    size_t column_count;
    const char *const *cells;
    size_t row_count;
    size_t blank_rows;
    double row_min_mm;
    const char *const *notes;
    size_t note_count;
    const char *const *sign_lines;
    size_t sign_line_count;
    const char *foot;
    bool across;
    int64_t created_ms;
};

/* FIELD_MISSING, FIELD_RANGE, the errors of flow.h. */
MUST_USE struct result sheet_pdf(struct arena *a, const struct sheet *sheet, const uint8_t **out,
                                 size_t *out_len);

#endif
