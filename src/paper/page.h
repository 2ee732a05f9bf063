/* Pages as PDF: text with real shaping, rectangles, several pages in one file. Cairo and Pango
 * underneath.
 *
 * Lengths are millimetres from the upper left corner, type sizes are points. All text stays text:
 * it can be searched and copied. The same input gives the same bytes on the same machine: the
 * creation date comes from the caller and nothing is random. A document belongs to one thread.
 *
 * The first failure sticks to the document and comes out of page_close, so that drawing needs no
 * checks in between: PAPER_TEXT (not UTF-8, or control characters), PAPER_GLYPH (a character no
 * font on this machine has), PAPER_FAILED. */
#ifndef PAPER_PAGE_H
#define PAPER_PAGE_H

#include "base/result.h"

enum { PAGE_BYTES_MAX = 256 << 20 };

struct page_document;
struct page_block;

/* width_mm, height_mm: 20..2000. created_ms: UTC. */
struct page_setup {
    double width_mm, height_mm;
    const char *title;
    int64_t created_ms;
};

enum page_font { PAGE_SANS, PAGE_SANS_BOLD, PAGE_MONO, PAGE_MONO_BOLD };
enum page_align { PAGE_LEFT, PAGE_CENTRE, PAGE_RIGHT };

/* grey: 0 black .. 1 white. */
struct page_style {
    enum page_font font;
    double size_pt;
    enum page_align align;
    double grey;
};

/* PAPER_FONT when the machine lacks the fonts. The first page is open. */
MUST_USE struct result page_open(const struct page_setup *setup, struct page_document **out);
void page_next(struct page_document *doc);
/* Ends the document, good or bad. The bytes live in the arena. */
MUST_USE struct result page_close(struct page_document *doc, struct arena *a, const uint8_t **out,
                                  size_t *out_len);
/* Ends a document nobody wants. */
void page_drop(struct page_document *doc);
/* Keeps the failure if it is the first. */
void page_fail(struct page_document *doc, struct result failure);

/* A piece of text broken into lines no wider than width_mm (0: one line for each line of the text).
 * field: for messages. */
struct page_block *page_block_new(struct page_document *doc, const struct page_style *style,
                                  double width_mm, const char *text, const char *field);
void page_block_free(struct page_block *block);
int page_block_lines(const struct page_block *block);
/* Of the widest line. */
double page_block_width_mm(const struct page_block *block);
double page_block_height_mm(const struct page_block *block, int first_line, int line_count);
/* True when a word had to be cut between two lines. */
bool page_block_cuts_words(const struct page_block *block);
/* x_mm, y_mm: the upper left corner of the first line drawn. */
void page_block_draw(struct page_document *doc, const struct page_block *block, double x_mm,
                     double y_mm, int first_line, int line_count);

/* A whole block at once. Returns its height. */
double page_text(struct page_document *doc, const struct page_style *style, double x_mm,
                 double y_mm, double width_mm, const char *text, const char *field);

void page_rectangle(struct page_document *doc, double x_mm, double y_mm, double width_mm,
                    double height_mm, double grey);
/* The line lies inside the rectangle. */
void page_frame(struct page_document *doc, double x_mm, double y_mm, double width_mm,
                double height_mm, double line_mm);

#endif
