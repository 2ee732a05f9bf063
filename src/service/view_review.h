/* Records that wait for somebody else's review. */
#ifndef SERVICE_VIEW_REVIEW_H
#define SERVICE_VIEW_REVIEW_H

#include "service/view.h"

/* Those that the person who asks may sign: {"batches":[{"batch","entries":[EntryRow]}]}, by what
 * they are about. EntryRow: {entry, at_ms, recorded_ms, day, kind, title, sentence, by, name,
 * about, lots, place, struck_by, strikes}. Errors of the store. */
MUST_USE struct result view_review(struct view *v, json_t **out);
MUST_USE struct result view_review_count(struct view *v, int64_t *out);

#endif
