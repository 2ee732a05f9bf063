/* How a house that receives fruit has fared, from its own record: what days of work of each use
 * gave, and what came of deliveries that were due. */
#ifndef SERVICE_PLANNING_RECEIVED_LUCK_H
#define SERVICE_PLANNING_RECEIVED_LUCK_H

#include "plan/intake_chance.h"
#include "service/planning_received.h"

/* What came of a delivery so many days after its own is still that delivery. common practice */
enum { RECEIVED_LATE_DAYS = 3 };
/* Less than this share of what is due is not the delivery. common practice */
#define RECEIVED_NONE_SHARE 0.05

/* What the days of work of a use gave, against its own shares. */
struct intake_luck_use planning_received_learn(struct arena *a, const struct planning_received *c,
                                               int use, const struct intake_use *told);
/* Everything lives in the arena. The problem's deliveries are those c was read with. Errors of the
 * store. */
MUST_USE struct result planning_received_luck(struct store *s, struct arena *a,
                                              const struct planning_received *c,
                                              struct intake_luck *out);
/* A delivery of the problem that comes by standing agreement, not agreed by itself. */
bool planning_received_standing(const struct planning_received *c, int delivery);

#endif
