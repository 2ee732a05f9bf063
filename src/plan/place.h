/* Names for what a plan counts: each start gets its chamber and its seed lots.
 *
 * Chambers: starts in the order of days; one taken earlier keeps its chamber where that is free,
 * else the chamber that has stood idle longest, sparing those that a taken start is waiting for; if
 * all are waited for, the one that is waited for latest, so that few starts have to move on.
 * Within a pool counts always suffice (interval colouring), so this cannot fail. Seed: per day and
 * grade, the lot that becomes useless soonest, then the oldest; fillings of the chambers of one
 * option are drawn within their bounds so that as few as possible hold two lots. */
#ifndef PLAN_PLACE_H
#define PLAN_PLACE_H

#include "plan/plan.h"

struct plan_placed {
    int day, harvest_day, last_day; /* soaked, first and last harvested */
    int chamber, crop, way;
    int harvest_count;
    const struct plan_harvest *harvests;
    int taken; /* the taken start that this is, PLAN_NONE */
    bool is_fixed;
    double seed_kg, packed_kg; /* packed_kg with the lots' own yield factors */
    uint32_t markets;
    int part_count;
    struct plan_seed_part *parts;
};

/* By day, then chamber. -> count */
int plan_place(struct arena *a, const struct plan *plan, struct plan_placed **out);

#endif
