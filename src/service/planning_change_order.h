/* What if an order were another, or one were more: alike for what is grown and for what comes. */
#ifndef SERVICE_PLANNING_CHANGE_ORDER_H
#define SERVICE_PLANNING_CHANGE_ORDER_H

#include "service/change_reader.h"
#include "service/planning.h"

/* {"what":"order","order":KEY,"pieces":N}   an order line, 0: none
 * {"what":"order","item":"M250","group"?:"retail","day":DAY,"pieces":N}   one order more, as dear
 * to be short of as the dearest of its item; it leaves on an open day, as booked ones do Changes
 * the lines of c->problem and what is booked in its demand. FIELD_*, ITEM_UNKNOWN, PARTNER_UNKNOWN,
 * ORDER_UNKNOWN. */
MUST_USE struct result planning_change_order(const struct change *x, const struct profile *p,
                                             struct planning_case *c);
#define PLANNING_CHANGE_ORDER_NAMES                             \
    {                                                           \
        "what", "order", "item", "group", "day", "pieces", NULL \
    }

#endif
