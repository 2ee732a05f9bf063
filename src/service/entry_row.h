/* One line of the daybook for people. */
#ifndef SERVICE_ENTRY_ROW_H
#define SERVICE_ENTRY_ROW_H

#include "service/view.h"

enum { ENTRY_ROW_LOTS = 50 };

/* {entry, at_ms, recorded_ms, day, kind, title, sentence, by, name, lots:[code], place, struck_by,
 * strikes}: an EntryRow; the caller owns it. lots are those that it speaks of, at most
 * ENTRY_ROW_LOTS. body: the entry's, read; NULL: it is read here. STORE_DAMAGED. */
MUST_USE struct result entry_row(struct view *v, const struct entry *e, const json_t *body,
                                 json_t **out);

#endif
