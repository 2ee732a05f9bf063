/* The daybook for a page: its lines backwards in time, and one entry with what proves it. */
#ifndef SERVICE_VIEW_DAYBOOK_H
#define SERVICE_VIEW_DAYBOOK_H

#include "service/view.h"

enum { VIEW_DAYBOOK_LIMIT = 50, VIEW_DAYBOOK_LIMIT_MAX = 200 };

/* All may be NULL: no such filter. cursor: the "next" of the page before. limit 0: the default. */
struct view_daybook_question {
    const char *day, *kind, *lot, *cursor;
    int64_t limit;
};

/* {entries:[EntryRow], next:string|null}, the newest first. TIME_BAD for the day, LOT_UNKNOWN,
 * KIND_UNKNOWN when no entry can be of it, FIELD_RANGE for cursor and limit. */
MUST_USE struct result view_daybook(struct view *v, const struct view_daybook_question *question,
                                    json_t **out);

/* EntryRow and offset_min, device, clock_ms, version, uuid, cause, caused:[entry], told (the fields
 * as told), answer, deviations:[sentence], effects (how many), leaf, proof:{index, size, root,
 * path, head}, correctable.
 *
 * The leaf is computed from the entry's own bytes. The proof leads to the newest signed head; for
 * an entry told after it to the tree as it stands, and head is null. correctable: the asking person
 * may try to strike it; what rests on it is only known then. ENTRY_UNKNOWN; STORE_DAMAGED when the
 * bytes do not give the leaf that is kept, or the head does not hold. */
MUST_USE struct result view_entry(struct view *v, int64_t seq, json_t **out);

#endif
