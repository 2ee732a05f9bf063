/* When to draw samples of what grows, what is under way to the laboratory; and the water: what was
 * read of it and what the laboratory said. */
#ifndef SERVICE_VIEW_CALENDAR_H
#define SERVICE_VIEW_CALENDAR_H

#include "service/view.h"

/* {"now_ms", "transit_ms", "lab_ms", "batches", "waiting"}. A batch may be sampled from its least
 * age on, the longest of its markets; the result is there before the harvest when it is drawn no
 * later than harvest - transit - laboratory time. waiting: samples of the last thirty days without
 * a final result, the oldest first. Errors of the store and of chamber_ready. */
MUST_USE struct result view_calendar(struct view *v, json_t **out);

/* {"from_ms", "to_ms", "places", "systems"} from the beginning of one house day to the end of
 * another. places: readings by quantity with the limit in force, and what the place held meanwhile.
 * systems: the laboratory's results of each water system in that time. */
MUST_USE struct result view_waters(struct view *v, int32_t from, int32_t to, json_t **out);

#endif
