/* What to start on the first evening that is still open, rehearsed from the house's own state: for
 * each crop the starts planned, none, a chamber fewer or more, with less or more seed, each played
 * on the same futures to the day its goods are sold or gone (evening.h); the cheapest is taken. A
 * policy improved by one step of looking ahead (rollout: Bertsekas, Tsitsiklis, Wu 1997, Rollout
 * Algorithms for Combinatorial Optimization - from memory). Most futures are spent on what is
 * nearly as cheap as the best (successive halving: Karnin, Koren, Somekh 2013, Almost Optimal
 * Exploration in Multi-Armed Bandits - from memory).
 *
 * Crop by crop, in chambers that other crops don't take in the plan; in the class that most of the
 * crop's chambers are of, grown in its first way: starts elsewhere or otherwise stay as planned. A
 * crop that is harvested in parts stays as planned. Ingredients and what a day can wash and pack
 * are left to the plan that is made with the starts. The same seed gives the same starts. */
#ifndef PLAN_TONIGHT_H
#define PLAN_TONIGHT_H

#include <stdatomic.h>

#include "plan/evening.h"
#include "plan/safety.h"

/* What is known of a running lot beyond what the model says of all. */
struct tonight_known {
    bool day;    /* it is harvested on its day */
    bool passed; /* it will not be barred */
};

/* With fewer a start is often taken that costs more than the best: as 4,000 other futures have it
 * 3.4 an evening on average with 200, 1.7 with 800, 1.1 with 1,600. computed here */
enum { TONIGHT_FUTURES = 1600 };

struct tonight_ask {
    const struct plan_problem *p;
    const struct chance_model *model;
    const struct safety *safety;
    const struct plan_placed *planned; /* the plan of safety_problem as it is made without this */
    const struct plan_sale *sales;     /* of that plan; what it gives of another crop is wanted of
                                          that one */
    int planned_count, sale_count;
    const struct tonight_known *running; /* by running lot; NULL: nothing is known */
    int future_count;                    /* at most for each start looked at; 8 or more */
    const atomic_bool *stop;             /* may be NULL */
};

/* What is started of a crop on the evening. */
struct tonight_crop {
    bool is_rehearsed;
    int planned_count, count;
    double planned_seed_kg, seed_kg; /* of all */
    double saved, saved_error;       /* mean over the futures, and its standard error */
    int future_count;
};

struct tonight {
    int day;
    struct tonight_crop *crops; /* by crop */
    struct plan_taken *starts;  /* all of the evening, of all crops */
    int start_count;
    bool is_changed; /* otherwise than planned */
    bool is_done;    /* false: stopped before the end, or nothing is open */
};

void tonight_choose(struct arena *a, const struct tonight_ask *ask, struct tonight *out);

#endif
