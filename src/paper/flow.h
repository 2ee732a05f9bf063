/* A4 papers that run over pages: headings, paragraphs and tables one below the other, a running
 * head, page numbers with their total. */
#ifndef PAPER_FLOW_H
#define PAPER_FLOW_H

#include "paper/page.h"

enum { FLOW_COLUMNS_MAX = 12, FLOW_PAGES_MAX = 500 };

struct flow;

/* across: the long side of the paper lies flat. foot: at the lower left of every page, may be
 * empty. lang: of what the paper says by itself (base/words.h); NULL: English. */
struct flow_setup {
    const char *lang;
    const char *title;
    const char *foot;
    bool across;
    int64_t created_ms;
};

/* share: of the paper's width, in any unit; the shares are put in proportion. */
struct flow_column {
    const char *title;
    double share;
    enum page_font font;
    enum page_align align;
};

/* cells: row by row, column_count in each; NULL is an empty one.
 * bold: one a row, or NULL
 * head: the column titles stand above, again on each page
 * lines: a line below each row, and between the columns when row_min_mm gives room to write
 * field: for messages */
struct flow_table {
    const struct flow_column *columns;
    size_t column_count;
    const char *const *cells;
    size_t row_count;
    const bool *bold;
    bool head;
    bool lines;
    double row_min_mm;
    const char *field;
};

/* Calls body twice: once to learn the number of pages, once for good; it must do the same both
 * times. The errors of page.h, and PAPER_LONG past FLOW_PAGES_MAX. */
MUST_USE struct result flow_pdf(struct arena *a, const struct flow_setup *setup,
                                void (*body)(struct flow *f, const void *subject),
                                const void *subject, const uint8_t **out, size_t *out_len);

struct arena *flow_arena(struct flow *f);
/* The text of a key of the catalogue. */
const char *flow_say(struct flow *f, const char *key);
void flow_title(struct flow *f, const char *text, const char *field);
void flow_heading(struct flow *f, const char *text);
void flow_paragraph(struct flow *f, enum page_font font, const char *text, const char *field);
void flow_gap(struct flow *f, double mm);
/* Rows stay whole where they fit on a page; a taller one goes on over the page's end. */
void flow_table(struct flow *f, const struct flow_table *table);

#endif
