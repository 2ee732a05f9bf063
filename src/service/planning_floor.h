/* The plan against the floor: what the plans taken meant to start on past days, what was started,
 * and what was harvested of it. */
#ifndef SERVICE_PLANNING_FLOOR_H
#define SERVICE_PLANNING_FLOOR_H

#include "base/json.h"
#include "service/view.h"

enum { FLOOR_DAYS_MAX = 92 };
/* Seed within this share of what was planned counts as planned (common practice: the scale's
 * division and what clings to the sack). */
#define FLOOR_SEED_SHARE 0.01

/* For house days from ... to; later ones than today are left out. A day is measured by the newest
 * plan taken on it or before; a start that an earlier plan of the same day meant counts too, for a
 * plan taken after it no longer names it.
 *
 * {from, to, crops:[{item, planned, kept, filled, moved_chamber, moved_day, gone, added, waiting,
 * seed_diff_g (mean, of those started), emptied, harvest_days (mean, tenths, later than planned),
 * harvest_ppm (of what their seed gives by the standard)|null}], starts:[{kind, item, day, place,
 * planned_g|null, made_day|null, made_place|null, made_g|null, lot|null, due|null,
 * harvested|null, harvest_g|null, expected_g|null, sentence}]}. FIELD_RANGE. */
MUST_USE struct result view_floor(struct view *v, int32_t from, int32_t to, json_t **out);

#endif
