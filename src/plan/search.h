/* A local search on the start counts: chambers are added, taken away and moved to other days, ways
 * and crops one at a time, by simulated annealing. What the goods of a crop then cost is known
 * exactly (flow.h); most moves are refused on a bound from its prices, without a look at the flow.
 *
 * Running lots that have other days go from one to another in moves of their own, alone or with a
 * start that then fits or no longer does.
 *
 * What counts chambers holds at every moment: chambers free, starts and harvests a day, starts in
 * place of dropped ones. So do the least fillings in a day's seed limits and in the seed there is.
 * Beyond that, limits that tie crops together by the kg (a day's seed, washing, packing; scarce
 * seed) have a price here, and realize.h keeps them. */
#ifndef PLAN_SEARCH_H
#define PLAN_SEARCH_H

#include <stdatomic.h>

#include "base/random.h"
#include "plan/flow.h"

/* On top of what things cost; all 0 at first. */
struct search_prices {
    double *grade;        /* of one kg of seed, by grade */
    double *treat, *soak; /* of one kg of seed, by day */
    double *bed, *pack;   /* of one kg of bed (harvest and washing), packed, by harvest day */
    double *work;         /* of one unit, work * day_count + harvest day */
    /* of one kg of an ingredient used up to a day, and from a day on: ingredient * day_count + day
     */
    double *until, *from;
    /* by cell that is its own want, of what goes into a dish beside its own crop: its part of what
     * a kg short costs */
    double *with;
};

struct search_option {
    int flow, day, harvest_day, last_day, pool, blend, wish, frozen; /* wish, frozen: PLAN_NONE */
    int more_count;                                                  /* harvests after the first */
    const struct plan_harvest *more;
    int grade;       /* the cheapest that is usable on the day */
    double own_cost; /* of a chamber: start and least filling */
    double seed_min_kg;
};

struct search {
    const struct plan_frame *f;
    struct flow **flows;           /* by crop; crops tied together (frame.h) share theirs */
    struct flow_chamber *chambers; /* by option */
    struct search_option *options;
    int *counts, *best_counts;
    int *choices, *best_choices;              /* by running lot */
    struct flow_chamber *choice_goods;        /* by choice of the frame */
    int *choosing, choosing_count;            /* running lots that have other days */
    int *started, *started_at, started_count; /* options with a chamber, and where they stand */
    int *first_option;                        /* day * crop_count + crop, and one past the end */
    int *free_chambers;                       /* pool * span_days + day */
    int *starts_left, *harvests_left, *frozen_left;
    double *treat_left_kg, *soak_left_kg;
    double *blend_need_kg; /* blend * day_count + day: least fillings */
    int *wish_kept;
    double cost, best_cost; /* with prices */
    struct random random;
    int64_t moves, tried; /* looked at; of these with the flow */
};

struct search_prices search_prices_new(struct arena *a, const struct plan_frame *f);
/* The flow that the crop is the first of; NULL: it shares that of a crop before it. */
struct flow *search_flow_from(const struct search *s, int crop);
/* Nothing started. */
struct search *search_new(struct arena *a, const struct plan_frame *f,
                          const struct search_prices *prices, uint64_t seed);
void search_release(struct search *s);
/* The counts and the running lots' choices given, as far as they fit. */
void search_start_from(struct search *s, const int *counts, const int *choices);

/* A look from outside, every few thousand moves: true ends the search. */
struct search_watch {
    bool (*is_over)(void *self);
    void *self;
};
/* Cools from hot to cold (both as shares of the cost of a chamber) over so many moves; the best
 * counts seen are in best_counts. */
void search_anneal(struct search *s, double hot, double cold, int64_t moves,
                   const struct search_watch *watch);
/* The same on costs that somebody else tells, where limits by the kg tie crops together: slower by
 * as much as telling takes. Whoever tells keeps the best. */
struct search_judge {
    double (*cost)(void *self, const struct search *s);
    void *self;
};
void search_anneal_judged(struct search *s, double hot, double cold, int64_t moves,
                          const struct search_judge *judge, const struct search_watch *watch);

#endif
