/* What needs somebody now. */
#ifndef SERVICE_VIEW_TODAY_H
#define SERVICE_VIEW_TODAY_H

#include "service/view.h"

/* {"day","lines":[TodayLine],"review_count","owed":[..],"handover":{text, shift, by, at_ms, entry}|
 * null,"health"}. TodayLine: {key, rank, tone, sentence, what, lot, place, by_ms, verb,
 * go:{page, form, with}}, most urgent first for the role that asks: what it has nothing to do with
 * is left out, and of a kind more than five stand as one line with their number.
 *
 * day: a house day. Of a later one only what has a date is told; of an earlier one only its note.
 * health: the answer about the machine, which is put in as it is; its "backup":{"at_ms"} older than
 * a day and two hours is a line. NULL: not known here. Errors of the store. */
MUST_USE struct result view_today(struct view *v, int32_t day, const json_t *health, json_t **out);

#endif
