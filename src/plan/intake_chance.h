/* A plan of received fruit against many futures, in the manner of chance.h: what uses give, what
 * deliveries bring and when, and what forecasts come to are drawn; then the plan is followed as
 * intake_follow does, and each line's chance is the share of futures in which it is met.
 *
 * In a future
 * - a use gives on a day shares about a mean of the use that all days share (intake_luck.h),
 * - a delivery brings the share of its mass, and comes as late, as one of those that were due; what
 *   the plan turns away of it is turned away in the same part,
 * - what a forecast adds is a negative binomial of its pieces and spread (draw_shared_pieces).
 * Lots, orders, hours and what is bought stay as they are. Uses take what the plan says, and those
 * that give what is sold take as much more or less as their packs need. Nothing is re-planned, and
 * what has no room in the evening leaves (intake_follow.h).
 *
 * The same luck and seed give the same futures to every plan of the same problem. */
#ifndef PLAN_INTAKE_CHANCE_H
#define PLAN_INTAKE_CHANCE_H

#include "plan/chance.h"
#include "plan/intake_luck.h"
#include "plan/intake_plan.h"

/* Of a delivery that was due. */
struct intake_came {
    double share;  /* of its mass, 0 or more */
    int late_days; /* 0 or more */
};

struct intake_came_list {
    const struct intake_came *list;
    int count; /* below INTAKE_LUCK_MIN: it comes as told */
};

struct intake_luck {
    const struct intake_luck_use *uses;  /* the problem's */
    const struct intake_came_list *came; /* by delivery of the problem */
    double shared_part;                  /* of the spread of forecasts: as in chance_model */
    uint64_t seed;
    int future_count; /* 1 ... CHANCE_FUTURES_MAX */
};

struct intake_chance {
    int future_count;
    struct chance_line *lines; /* by line; late_... as on its day */
    struct chance_line *days;  /* met: every line of the day; 1 where nothing is wanted */
    struct chance_total wanted_kg, short_kg;
    struct chance_total left_kg,
        no_room_kg;           /* left for whatever reason; of that, for want of room */
    struct chance_total cost; /* in the terms of intake.h */
    double *costs;            /* by future */
};

/* The plan must be of a problem that passed intake_check. */
struct intake_chance intake_chance_of(struct arena *a, const struct intake_plan *plan,
                                      const struct intake_luck *luck);

#endif
