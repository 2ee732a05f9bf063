/* An invented house and what happens to it, for scoring plans: 26 weeks that a planner can look
 * back on and four weeks that count. Everything comes from a seed and the number of the future; all
 * of it is invented.
 *
 * What no planner is told: promotions (half as much again or more for some days of one product and
 * group), cold weeks (a day later, a tenth less), bad seed lots (a quarter less for as long as the
 * lot lasts), and how fast levels wander. What they are told: the calendar's days unlike others,
 * the orders booked so far, which seed lot each batch is of (not what it is like), what was ordered
 * and harvested before today. */
#ifndef BENCH_FUTURE_WORLD_H
#define BENCH_FUTURE_WORLD_H

#include <stdbool.h>
#include <stdint.h>

enum {
    PRODUCTS = 2,
    GROUPS = 2,
    SERIES = PRODUCTS * GROUPS,
    CHAMBERS = 12,
    LEADS = 15, /* days ahead that orders can be booked, 0 included */
    HISTORY_DAYS = 182,
    TEST_DAYS = 28,
    AHEAD_DAYS = 14, /* looked at by a plan */
    DAYS = HISTORY_DAYS + TEST_DAYS + AHEAD_DAYS + LEADS,
    TEST_FROM = HISTORY_DAYS,
    TEST_TO = HISTORY_DAYS + TEST_DAYS, /* not included */
    LIFE_DAYS = 5,
    STOCK_MAX = 64
};

/* The house, known to everybody. Costs are those of profiles/sprout-house.json. */
extern const int grow_days[PRODUCTS];
extern const int group_priority[GROUPS], group_remaining[GROUPS];
#define NET_KG 0.25
#define SEED_MIN_KG 60.0
#define SEED_MAX_KG 100.0
#define STANDARD_KG_PER_KG 6.0
#define SEED_PRICE 2.2
#define START_COST 40.0
#define WASTE_PER_KG 0.15
#define HOLD_PER_KG_DAY 0.02
#define VALUE_PER_KG 2.0

struct world {
    int64_t booked[SERIES][DAYS]
                  [LEADS];        /* pieces ordered so many days ahead or earlier; [0]: all */
    double factor[DAYS];          /* the calendar's, 1 on most days */
    double ratio[PRODUCTS][DAYS]; /* what a batch soaked that day gives, of the standard */
    int lot[PRODUCTS][DAYS];      /* the seed lot it was soaked of */
    int late_days[PRODUCTS][DAYS];
    bool barred[PRODUCTS][DAYS];
};

/* Worlds in which something does not happen, everything else drawn from the same streams: for
 * seeing what it costs. */
enum {
    WITHOUT_PROMOTIONS = 1,
    WITHOUT_COLD = 2,
    WITHOUT_POOR_LOTS = 4, /* and without lesser differences between lots */
    WITHOUT_BARRED = 8,
    WITHOUT_LATE = 16,
    WITHOUT_BATCH_LUCK = 32
};

/* without: bits of the above, 0: all happens. */
void world_make(struct world *w, uint64_t seed, uint32_t future, int without);

struct batch {
    bool runs;
    int crop, start_day;
    double seed_kg;
};

struct goods_left {
    int crop, day; /* of harvest */
    double kg, cost_per_kg;
};

struct house {
    struct batch batches[CHAMBERS];
    int free_from[CHAMBERS]; /* first day it can be started */
    struct goods_left stock[STOCK_MAX];
    int stock_count;
};

struct score {
    double cost, wanted_kg, short_kg, waste_kg, made_kg;
    int lines, lines_met;
};

/* Harvests and serves a day; adds to the score. */
void house_day(const struct world *w, struct house *h, int day, struct score *score);
void house_start(struct house *h, int chamber, int crop, int day, double seed_kg);
int batch_harvest_day(const struct world *w, const struct batch *b);
/* What is left at the end is worth what it cost to make, so that an end is neither feared nor used.
 */
void house_close(const struct house *h, struct score *score);
double order_shortage_cost(int group);

#endif
