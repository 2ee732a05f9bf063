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
 * Why a start departed is what was told of it last (plan-departure), by the chamber and day
 * planned, or where there was no plan by those of the start.
 *
 * {from, to, crops:[{item, planned, kept, filled, moved_chamber, moved_day, gone, added, waiting,
 * seed_diff_g (mean, of those started), seed_counted_ppm (floor_learn), emptied, harvest_days
 * (mean, tenths, later than planned), harvest_ppm (of what their seed gives by the
 * standard)|null}], starts:[{kind, item, day, place, planned_g|null, made_day|null,
 * made_place|null, made_g|null, lot|null, due|null, harvested|null, harvest_g|null,
 * expected_g|null, departure:{reason, what|null, entry, by}|null, sentence}], reasons:[{reason|null
 * (nobody told), filled, moved, gone, added}]}. FIELD_RANGE. */
MUST_USE struct result view_floor(struct view *v, int32_t from, int32_t to, json_t **out);

enum { FLOOR_LEARN_DAYS = 28 };
/* So many starts made as planned are counted with those that were: before there are many, a few say
 * little (common practice). */
#define FLOOR_SEED_BEFORE 10

struct floor_seed {
    const char *item;
    double less; /* share of the seed planned that was not soaked; below 0: more was */
};
/* What a plan's rehearsal may count on, by crop that was planned and started in the last days: of
 * planned starts that were made. One that was not made is answered by planning anew and says
 * nothing of the next. In the view's arena. */
MUST_USE struct result floor_learn(struct view *v, struct floor_seed **out, size_t *out_count);

#endif
