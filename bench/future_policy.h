/* Ways to decide each evening what to soak in the invented house. */
#ifndef BENCH_FUTURE_POLICY_H
#define BENCH_FUTURE_POLICY_H

#include "base/arena.h"
#include "future_world.h"
#include "plan/safety.h"

enum policy {
    POLICY_OURS,     /* forecast of plan/demand, safety chosen on its own futures */
    POLICY_AVERAGES, /* the mean of each weekday, mean yields, no safety */
    POLICY_RULE,     /* the mean of the last four same weekdays, and a buffer by product */
    POLICY_BOOK,     /* the same, but what is ordered already is known */
    POLICY_COUNT
};

struct misses {
    double wanted[AHEAD_DAYS], missed[AHEAD_DAYS], over[AHEAD_DAYS]; /* pieces by days ahead */
};

enum { STARTS_MAX = 256 };

/* What was soaked, by day. */
struct course {
    struct course_start {
        int day, chamber, crop;
        double seed_kg;
    } starts[STARTS_MAX];
    int count;
};

struct planner {
    enum policy policy;
    const struct world *w;
    struct arena arena;      /* emptied each evening */
    double buffer[PRODUCTS]; /* rule: of the forecast; ours: deviations */
    int chosen_on;           /* day on which ours chose, 0: not yet */
    struct misses *misses;   /* NULL: not counted */
    struct course *course;   /* NULL: not kept */
};

/* After the day's harvest and orders: starts what the plan says for today. */
void policy_evening(struct planner *x, struct house *h, int day);
/* Plays days from ... to - 1, counting from `counted` on. */
void policy_play(struct planner *x, struct house *h, int from, int counted, int to,
                 struct score *score);
/* The buffers that cost least over the weeks before the test. */
void policy_tune(struct planner *rule);
/* Costs a little more than the best there is when all that will happen is known: changes of the
 * starts are tried on the real outcome, from those a policy made. */
void foresight(const struct world *w, const struct house *at_start, const struct course *from,
               uint32_t future, struct score *score);

#endif
