/* The order book by day: what is asked for, what has left, what of the rest is there. */
#ifndef SERVICE_VIEW_ORDERS_H
#define SERVICE_VIEW_ORDERS_H

#include "service/view.h"

enum { VIEW_ORDERS_DAYS_MAX = 62 };

/* From from to to, both included: {from, to, days:[{day, pieces, shipped, stock, missing, lines:[
 * {key, customer, item, pieces, shipped, stock, missing, state, version, source, leaves,
 * closed}]}]}, days without lines left out. closed: the reason why nothing is dispatched on the
 * day, else null; leaves: the open day before, on which it is to leave instead. stock: pieces that
 * are packed and not held for more than a laboratory, given to the lines of today and later that
 * have not left, the earlier day first. missing: what neither left nor is there. state: shipped,
 * stock (all of the rest is there), short (missing, and to leave by tomorrow), open (still to be
 * packed for a later day: the plan says whether it will be), cancelled. standing: [{code, customer,
 * item, weekdays, pieces, from, to|null, terms, state: coming, in-force or ended, entry}]. Sums of
 * a day leave cancelled lines out. FIELD_RANGE to: before from, or more than VIEW_ORDERS_DAYS_MAX
 * days. */
MUST_USE struct result view_orders(struct view *v, int32_t from, int32_t to, json_t **out);

/* What became of one line: {key, versions:[{version, customer, item, day, pieces, state, source,
 * entry, at_ms, by}], shipments:[{shipment, at_ms, pieces}]}, the newest version first.
 * ORDER_UNKNOWN.
 */
MUST_USE struct result view_order(struct view *v, const char *key, json_t **out);

#endif
