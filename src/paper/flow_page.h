/* What flow.c and flow_table.c share: where the pen stands on the page. */
#ifndef PAPER_FLOW_PAGE_H
#define PAPER_FLOW_PAGE_H

#include "paper/flow.h"

struct flow {
    struct arena *arena;
    struct page_document *doc;
    const struct flow_setup *setup;
    const char *lang;
    int page, page_count;
    double left_mm, width_mm;
    double top_mm, bottom_mm;
    double y_mm;
};

/* Goes on on a new page. */
void flow_break(struct flow *f);
/* A new page when less than mm is left of this one. */
void flow_need(struct flow *f, double mm);

#endif
