/* The house for a page: what stands in it, who works there, its limits, its plan. */
#ifndef SERVICE_VIEW_HOUSE_H
#define SERVICE_VIEW_HOUSE_H

#include "service/view.h"

/* {places:[{code, name, kind, parent, in_service}], instruments:[{code, kind, place, due_ms}],
 * items:[{code, name, kind, family, net_mg, pieces_per_case, source_item}], partners:[{code, role,
 * market}], markets:[string], papers:[{sha256, kind, name, lot|null, entry, at_ms}]}, each by code;
 * the papers the newest first, validations before the others, 200 at most. due_ms is that of the
 * last calibration. */
MUST_USE struct result view_house(struct view *v, json_t **out);

/* {people:[{number, role, name|null, active, has_pin, has_badge, locked}]}, by number. */
MUST_USE struct result view_people(struct view *v, json_t **out);

/* {profile:{name, title, digest, from_ms}, limits:[{name, item, low, high, unit, source, locator,
 * word|null, may_release, changed_by, from_ms, reason, changes:[{entry, low, high, source,
 * word|null, from_ms, by, reason, loosens}]}]}. low and high are decimal texts or null. changed_by,
 * from_ms and reason are those of the change in force, null where the profile's own value is;
 * changes stand the newest first, those that begin later among them. And rules:[{rule, name, says,
 * source, locator, word}], what the profile asks beside them, in the reader's language. */
MUST_USE struct result view_limits(struct view *v, json_t **out);

#endif
