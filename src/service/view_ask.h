/* What a number that a page shows rests on, asked when somebody asks. */
#ifndef SERVICE_VIEW_ASK_H
#define SERVICE_VIEW_ASK_H

#include "service/view.h"

enum { VIEW_ASK_ROWS = 50, VIEW_ASK_CODES = 200 };

struct view_ask_question {
    const char *about; /* a kind of ask.def */
    const char *of;    /* a code, a day or an entry, or a comma list of them; NULL as "" */
    const char *with;  /* NULL as "" */
};

/* {about, of, with, how, calculation, adds, entries, sums:[{unit, amount, decimals}],
 * rows:[EntryRow and {amounts:[{unit, amount, decimals, how, instrument}]}]}. how: a sentence on
 * how such a number is known. calculation: a row of calc/registry.h or null. entries: how many
 * stand behind it; rows: the newest of them, VIEW_ASK_ROWS at most. An amount is a whole number of
 * the unit's 10^-decimals. sums: over all of them, by unit, where adds is true. The units are those
 * of the daybook, and "case", "lot", "unit", "reading", "harvest", "soak", "stopped" for what is
 * counted, "d" for days. Nothing behind it: no rows. FIELD_CHOICE, FIELD_RANGE, FIELD_TYPE; errors
 * of the store and of entry_row.h. */
MUST_USE struct result view_ask(struct view *v, const struct view_ask_question *question,
                                json_t **out);

#endif
