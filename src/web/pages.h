/* The pages themselves: files that are part of the program, known by an exact name, so that no way
 * of writing an address leads anywhere else. */
#ifndef WEB_PAGES_H
#define WEB_PAGES_H

#include "web/call.h"

struct pages;

struct pages *pages_new(void);
void pages_free(struct pages *p);
/* index.html for "/" and every address without a dot, which the page itself then reads.
 * ROUTE_UNKNOWN. */
MUST_USE struct result pages_answer(const struct pages *p, struct call *c);

#endif
