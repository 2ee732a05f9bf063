/* The chances of a plan of received fruit, for people. */
#ifndef SERVICE_PLANNING_RECEIVED_CHANCE_H
#define SERVICE_PLANNING_RECEIVED_CHANCE_H

#include "plan/intake_chance.h"
#include "service/planning_received.h"

/* For the plan's "chance": {futures, share_ppm, share_error_ppm, short_g, no_room_g,
 *  "lines":[{order|null, item, group, day, pieces, met_ppm, share_ppm, word, sentence}],
 *  "days":[{day, met_ppm, share_ppm, word, sentence}]  those on which something is wanted,
 *  "learnt":[{name, seen, known, sentence}]  uses, then deliveries}, and each order's
 * "chance_percent" in the plan's "orders" and "shorts". */
void planning_received_chance_put(const struct planning_received *c, const struct intake_luck *luck,
                                  const struct intake_chance *chance, struct arena *a,
                                  const char *lang, json_t *plan);

#endif
