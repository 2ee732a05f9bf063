/* A plan against many futures: what comes of each start, running lot and forecast is drawn, goods
 * go to orders as the floor would give them, and each line's chance of being met is the share of
 * futures in which it is.
 *
 * In a future
 * - a start gets seed_less less seed than planned,
 * - a batch gives its planned packed kg (at the ways' yields) times yield_mean, times a draw that
 *   all batches of the crop share (how little the mean is known), times one of its own; both
 *   log-normal,
 * - it is harvested shift_days, one of those that happened, after its day; a chamber emptied late
 *   holds up what is started in it next,
 * - it is barred as a whole with a probability drawn once for the crop from a beta distribution:
 *   the number of barred batches is beta-binomial (Skellam 1948, A Probability Distribution Derived
 *   from the Binomial Distribution - from memory); what is in stock can only be barred as such
 *   batches were that came to be goods, and is then barred together with the rest of its batch,
 * - its result takes a second test (retest_h of the market), with a probability drawn in the same
 *   way; all harvests of a batch wait for the same result. Who plans the second test is ready
 *   earlier in futures that need none,
 * - what a forecast adds is a negative binomial of its pieces and spread (draw_pieces); part of the
 *   spread is shared by all days of a product and group.
 * Running lots are harvested as told, and on just that day where their own warmth says so
 * (plan_running.is_day_known); of a plan that chooses otherwise, ask with the problem as
 * chosen (plan_problem_chosen). Orders stay as booked. Of stock, kilograms and age are as they are;
 * while a result of its batch is open, it is barred or waits for a second test as what is left of
 * the batch in the chamber does. What a harvest day can wash and pack is kept to.
 *
 * Lines are served by day, then priority, then orders before forecasts, then order of lines; from
 * the oldest goods the group still takes, and from what it takes instead where those run out; a
 * dish of several crops as far as all of them are there when it is packed (problem.h). What
 * a line is still short of then is served from what is left on later days, after the lines of each
 * of them, as long as its group takes it late; nothing on a day that is shut. Nothing is
 * re-planned: a line far ahead has a better chance than this says, because later starts can still
 * answer what happens until then.
 *
 * The same model and seed give the same futures to every plan of the same problem. */
#ifndef PLAN_CHANCE_H
#define PLAN_CHANCE_H

#include "plan/place.h"

struct chance_crop {
    double yield_mean;     /* > 0, over what the problem's ways and running lots count on */
    double yield_relative; /* standard deviation between batches over the mean, 0 ... 1 */
    double mean_relative;  /* standard error of the mean over the mean, 0 ... 1 */
    double seed_less;      /* share of the seed planned that a start does not get, below 1; below 0:
                              it gets more */
    const int *shift_days; /* real harvest day less the one foretold at soaking */
    int shift_count;       /* 0: always on its day */
    double barred, passed; /* of the beta distribution, > 0; barred 0: never */
    double barred_early;   /* of barred: by no result, and before they were goods. 0 ... barred */
    double retested, once; /* the same of results that take a second test; retested 0: none */
};

struct chance_model {
    const struct chance_crop *crops; /* the problem's */
    double shared_part; /* 0 ... 1 of the variance of forecasts: moves all days together */
    uint64_t seed;
    int future_count; /* 1 ... CHANCE_FUTURES_MAX */
};

/* Before the house has batches of its own: one in a hundred is barred, and that weighs as much as
 * fifty of them. common practice */
#define CHANCE_BARRED_BEFORE 0.5
#define CHANCE_PASSED_BEFORE 49.5
/* And one result in a hundred takes a second test. common practice */
#define CHANCE_RETESTED_BEFORE 0.5
#define CHANCE_ONCE_BEFORE 49.5

enum { CHANCE_FUTURES_MAX = 100000, CHANCE_FUTURES = 1000 };

/* error: standard error of the mean. */
struct chance_total {
    double mean, error;
};

struct chance_line {
    double met;                  /* share of futures in which it is met whole on its day */
    double share;                /* expected share of what is wanted then */
    double late_met, late_share; /* the same within the days it is taken late */
};

struct chance {
    int future_count;
    struct chance_line *lines;                                 /* by line */
    struct chance_total wanted_kg, met_kg, short_kg, waste_kg; /* met_kg: late goods among them */
    struct chance_total late_kg;
    struct chance_total cost; /* as plan_cost counts: shortage, late goods, waste, holding,
                                  starts and seed */
    double *cost_of;          /* by future: for comparing plans future by future */
};

/* PLAN_FIELD when the model is not one. */
MUST_USE struct result chance_check(const struct plan_problem *p, const struct chance_model *m);
/* PLAN_FIELD when the model is not one. The problem must have passed plan_problem_check, and starts
 * must be of it, or of a problem with the same crops, chambers and seed lots. */
MUST_USE struct result chance_of(struct arena *a, const struct plan_problem *p,
                                 const struct plan_placed *starts, int start_count,
                                 const struct chance_model *model, struct chance *out);

#endif
