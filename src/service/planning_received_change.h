/* What if, for a house that receives fruit: its planning problem changed on the way to a plan, and
 * nothing else. A change is one of
 *   {"what":"store","name":"cold rooms","milli":N}      its limit on every day, in thousandths of
 * its unit; of tanks as many of their size as hold it
 *   {"what":"machine","name":"press","minutes":N}       a day, on the days it works
 *   {"what":"closed-day",..}, {"what":"open-day",..}    as in planning_change_house.h
 *   {"what":"order",..}                                 as in planning_change_order.h
 *   {"what":"offer","good":"limes","day":DAY,"g":N,"price_milli":N}   to be bought from that day
 * on, in all; price a kg */
#ifndef SERVICE_PLANNING_RECEIVED_CHANGE_H
#define SERVICE_PLANNING_RECEIVED_CHANGE_H

#include "service/planning_received.h"

/* Changes out, which planning_received_read has read, in the arena; changes may be NULL. FIELD_*,
 * ITEM_UNKNOWN, PARTNER_UNKNOWN, ORDER_UNKNOWN, PLAN_FIELD; errors of the store. */
MUST_USE struct result planning_received_change(struct store *s, const struct profile *p,
                                                int64_t now_ms, struct arena *a,
                                                const json_t *changes,
                                                struct planning_received *out);

#endif
