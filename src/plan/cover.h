/* How much to have beyond what is expected, when every evening is planned anew: one crop's stock
 * rehearsed on many futures.
 *
 * Each evening enough is started that stock and what grows cover what is expected to be ordered up
 * to the first day a start of today can serve, and a cover of `level` standard deviations of what
 * may go otherwise until then (a base stock; Scarf, Clark 1960, Optimal Policies for a
 * Multi-Echelon Inventory Problem - from memory). Expectations change as orders come in: news of
 * each evening moves all days ahead, in part together (the martingale model of forecast evolution:
 * Heath, Jackson 1994, Modeling the evolution of demand forecasts - from memory). Goods are kept
 * for keep_days, sold oldest first, then waste. Chambers are whole; there are always enough of
 * them. */
#ifndef PLAN_COVER_H
#define PLAN_COVER_H

#include "plan/chance.h"

enum { COVER_WEEK = 7, COVER_AHEAD_MAX = 30, COVER_KEEP_MAX = 60 };

struct cover_case {
    double mean_kg[COVER_WEEK];            /* expected orders by weekday, their sum above 0 */
    double relative[COVER_AHEAD_MAX + 1];  /* by days ahead, [0]: 0: deviation of what is expected
                                             over its mean */
    double shared_part;                    /* 0 ... 1 of that variance moves all days together */
    int grow_days;                         /* 1 ... COVER_AHEAD_MAX */
    int keep_days;                         /* 0 ... COVER_KEEP_MAX: last day sold after harvest */
    double chamber_min_kg, chamber_max_kg; /* packed kg of a start, by the mean yield, above 0 */
    double start_cost, made_cost_per_kg, short_cost_per_kg, waste_cost_per_kg, hold_cost_per_kg_day;
    const struct chance_crop *crop; /* yield_mean is not used: kg are by the mean yield */
    uint64_t seed;
    int future_count;
};

struct cover_score {
    double cost_per_kg; /* of what was wanted */
    double service;     /* share of it that was met */
};

/* Deviation of what is in hand by the day today's start is harvested, from orders expected with
 * these deviations until then and from batches of these mean kg that are harvested until then. */
double cover_deviation_kg(const struct chance_crop *crop, const double *spread_kg, int day_count,
                          const double *batch_kg, int batch_count);

/* Scores of levels, all on the same futures. */
void cover_rehearse(struct arena *a, const struct cover_case *c, const double *levels,
                    int level_count, struct cover_score *out);

#endif
