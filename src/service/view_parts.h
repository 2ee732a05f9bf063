/* What of a lot can be named by itself: its cases, and the runs it was on. */
#ifndef SERVICE_VIEW_PARTS_H
#define SERVICE_VIEW_PARTS_H

#include "service/view.h"

enum { VIEW_PARTS_CASES_MAX = 2000 };

/* {lot, cases:[{code, pieces, state, place|null, held}], more, runs:[{run, place, start_ms,
 * end_ms|null, from_ms, to_ms}]}. Cases by code, the first 2000; more: how many there are beyond.
 * held: some open hold names the case. Runs in which the lot went in or came out, the newest first;
 * from_ms and to_ms are its own first and last minute there. LOT_UNKNOWN. */
MUST_USE struct result view_parts(struct view *v, const char *code, json_t **out);

#endif
