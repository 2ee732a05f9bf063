/* One case label on one page: where what stands. case_label.c checks and encodes, this draws. */
#ifndef PAPER_LABEL_DRAW_H
#define PAPER_LABEL_DRAW_H

#include "paper/barcode.h"
#include "paper/case_label.h"
#include "paper/page.h"

/* Each element in a symbol of its own at the worst. */
enum { LABEL_SYMBOLS_MAX = 5 };

/* dots: printer dots a module of symbol takes. */
struct label_symbols {
    struct barcode symbol[LABEL_SYMBOLS_MAX];
    int dots[LABEL_SYMBOLS_MAX];
    size_t count;
};

/* name prefixes the fields in messages ("labels[2]."). gtin14: NULL without a GTIN. */
struct label_page {
    const struct case_label *label;
    const struct label_paper *paper;
    const char *name;
    const char *gtin14;
    struct label_symbols symbols;
};

/* What goes wrong sticks to the document; LABEL_ROOM when something does not fit. */
void label_draw(struct arena *a, struct page_document *doc, const struct label_page *page);

#endif
