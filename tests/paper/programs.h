/* Other people's programs that read our papers: Poppler for text and pixels, a bar code reader.
 * The caller stands in a folder of its own (folder_enter). */
#ifndef TESTS_PAPER_PROGRAMS_H
#define TESTS_PAPER_PROGRAMS_H

#include <stddef.h>
#include <stdint.h>

/* Runs a program without a shell and takes what it prints, ended by a zero byte; what does not fit
 * fails the test. Returns its exit status. */
int program_run(const char *const *arguments, char *out, size_t size);

/* All text of a PDF, one blank between words: in the order in which it was drawn, or pieced
 * together as a reader of the page would, which scripts that run from right to left need. */
void pdf_text(const uint8_t *pdf, size_t len, char *out, size_t size);
void pdf_words(const uint8_t *pdf, size_t len, char *out, size_t size);
int pdf_page_count(const uint8_t *pdf, size_t len);

/* Where each word stands, from the upper left corner; a word's box is a line high. */
struct word_box {
    char text[64];
    double left_mm, top_mm, right_mm, bottom_mm;
};
size_t pdf_boxes(const uint8_t *pdf, size_t len, struct word_box *out, size_t room);

/* The page is drawn at printer_dpi in grey; exactly the count bar codes wanted must be read from
 * it, in any order. */
void assert_symbols(const uint8_t *pdf, size_t len, int page, int printer_dpi,
                    const char *const *wanted, size_t count);

/* The text, its white space evened out, holds the piece. */
void assert_has(const char *text, const char *piece);

#endif
