/* In which order a day's jobs go, found a moment ago. The search always finds the same for the same
 * day (plan/day_search.h) and takes some tens of milliseconds for it; Today asks for it anew after
 * every entry, of which few change the day. Any thread. */
#ifndef SERVICE_DAY_ORDERS_H
#define SERVICE_DAY_ORDERS_H

#include "plan/day_search.h"

struct day_orders;

struct day_orders *day_orders_new(void);
/* Nobody may use it any more. NULL is taken. */
void day_orders_free(struct day_orders *o);
/* As day_search with DAY_ROUNDS. o NULL: searched for. */
struct day_sequence *day_orders_sequence(struct day_orders *o, struct arena *a,
                                         const struct day_problem *p);

#endif
