/* How a house that receives fruit has fared, from its own record: what days of work of each use
 * gave, and what came of deliveries that were due. */
#ifndef SERVICE_PLANNING_RECEIVED_LUCK_H
#define SERVICE_PLANNING_RECEIVED_LUCK_H

#include "plan/intake_chance.h"
#include "service/planning_received.h"

/* Looked back on. A season changes fruit: common practice. */
enum { RECEIVED_LUCK_DAYS = 120 };
/* What came of a delivery so many days after its own is still that delivery. common practice */
enum { RECEIVED_LATE_DAYS = 3 };
/* Less than this share of what is due is not the delivery. common practice */
#define RECEIVED_NONE_SHARE 0.05

/* Everything lives in the arena. The problem's deliveries are those c was read with. Errors of the
 * store. */
MUST_USE struct result planning_received_luck(struct store *s, const struct profile *p,
                                              struct arena *a, const struct planning_received *c,
                                              struct intake_luck *out);
/* A delivery of the problem that comes by standing agreement, not agreed by itself. */
bool planning_received_standing(const struct planning_received *c, int delivery);

#endif
