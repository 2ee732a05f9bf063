/* What to buy by when, seed or what else is used up: what the plan will use day by day against the
 * lots that are there,
 * the soonest useless first; after the plan's last day its mean use goes on. */
#ifndef PLAN_PURCHASE_H
#define PLAN_PURCHASE_H

#include "base/arena.h"
#include <stdbool.h>

enum { PURCHASE_UNKNOWN = -1, PURCHASE_LOOK_DAYS = 400 };

struct purchase_lot {
    int item;
    double kg;
    int from_day, last_day; /* usable, both included; indices from today */
};

/* How an item is bought. */
struct purchase_rule {
    int lead_days;            /* from the order to goods that may be used; PURCHASE_UNKNOWN */
    double least_kg, step_kg; /* the least one buys, and in what steps; 0: any amount */
    int cover_days;           /* how long a delivery is to last, 1 or more */
};

struct purchase {
    int item;
    double here_kg;    /* usable now or later */
    double use_kg;     /* the plan's days together */
    double useless_kg; /* of what is here, never used before its last day */
    int out_day;       /* first day that is not covered */
    int order_by_day;  /* out_day without a known lead; below 0: should have been ordered */
    double need_kg;    /* used from out_day on for cover_days, less what still covers it */
    double order_kg;   /* need_kg, raised to the least and to whole steps */
};

/* use_kg: item * day_count + day. One for each item that runs out so that the order falls
 * into the plan's days, by day of ordering. -> count */
int purchase_list(struct arena *a, const double *use_kg, int item_count, int day_count,
                  const struct purchase_lot *lots, int lot_count, const struct purchase_rule *rules,
                  struct purchase **out);

#endif
