/* What if, for a house that receives fruit: its planning problem changed on the way to a plan, and
 * nothing else. A change is one of
 *   {"what":"store","name":"cold rooms","milli":N}      its limit on every day, in thousandths of
 * its unit; of tanks as many of their size as hold it
 *   {"what":"machine","name":"press","minutes":N}       a day, on the days it works
 *   {"what":"order",..}                                 as in planning_change_order.h
 *   {"what":"offer","good":"limes","day":DAY,"g":N,"price_milli":N}   to be bought from that day
 * on, in all; price a kg */
#ifndef SERVICE_PLANNING_RECEIVED_CHANGE_H
#define SERVICE_PLANNING_RECEIVED_CHANGE_H

#include "service/planning_received.h"

/* Changes out, in the arena; changes may be NULL. FIELD_*, ITEM_UNKNOWN, PARTNER_UNKNOWN,
 * ORDER_UNKNOWN, PLAN_FIELD. */
MUST_USE struct result planning_received_change(struct arena *a, const json_t *changes,
                                                const struct profile *p,
                                                struct planning_received *out);

#endif
