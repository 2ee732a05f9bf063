/* The ribbon of days: what each house day brought or will bring. */
#ifndef SERVICE_VIEW_DAYS_H
#define SERVICE_VIEW_DAYS_H

#include "service/view.h"

enum { VIEW_DAYS_MAX = 400 };

/* From from to to, both included: {"days":[{day, harvest, soak, ship_pieces, ship_mg, stopped,
 * now, closed}]}. closed: what the house does not do then, as planning_closed_json. harvest:
 * harvests told, from today on also chambers that will be ready that day. soak: chambers started,
 * from today on also what the plan in force still means to start. ship: what left, from today on
 * what is ordered and has not left. stopped: holds that were open on it and do not only wait for a
 * laboratory. FIELD_RANGE to: before from, or more than VIEW_DAYS_MAX days. */
MUST_USE struct result view_days(struct view *v, int32_t from, int32_t to, json_t **out);

#endif
