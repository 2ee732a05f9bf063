/* The plan in force: what is taken, and what it gives as things stand now. */
#ifndef SERVICE_VIEW_PLAN_H
#define SERVICE_VIEW_PLAN_H

#include "base/json.h"
#include "service/view.h"

/* {taken:[{day, place, item, seed_lot|null, seed_mg, grow_days, made}], plan:{..}|null,
 * receives, service_ppm, received:{..}|null, promised:[{order, entry, at_ms, told:[{day,
 * pieces}]}], job:null}: the starts of the plan taken last that are not past; the plan, as
 * planning_json and planning_board make it, in which nothing else is started; null where the house
 * can't be planned for yet. What orders were told, by the newest plan that told them. Of a house
 * that receives fruit plan is null, and received is what planning_received_json makes of the plan
 * taken last as things stand now, with taken {entry, at_ms}|null. service_ppm is the share that the
 * profile asks plans to meet, 0: none. */
MUST_USE struct result view_plan(struct view *v, json_t **out);

#endif
