/* One crop's coming days, evening after evening, on futures drawn from what is known now: what a
 * start of tonight brings when every later evening is planned anew.
 *
 * A future is drawn once and played with every way to start, so that ways are compared by the same
 * luck, and futures are drawn so that few of them tell ways apart: news of opposite sign by pairs,
 * each batch's luck in equal parts, and in half of the futures some batch is barred, which together
 * count for no more than that is likely. In a future
 * - what is expected of a day moves each evening until it is what was ordered, in part together
 *   with the other days (as in cover.h),
 * - what grows and what is started gives its kg times a factor that all share and one of its own,
 *   comes late and is barred as in chance.h, except for what is known of it already; chambers
 *   started on one evening have one luck: treated, watered and sampled alike they fail alike,
 * - goods are sold oldest first, to the wants in their order, and thrown away when nobody takes
 *   them any more.
 * Evenings after tonight start as in cover.h: what is missing on the day a start of that evening is
 * harvested, with a cover; filled for so many days more; as far as chambers are free. */
#ifndef PLAN_EVENING_H
#define PLAN_EVENING_H

#include "plan/chance.h"

enum {
    EVENING_DAYS_MAX = 64,
    EVENING_WANTS_MAX = 8,
    EVENING_LOTS_MAX = 256,
    EVENING_KEEP_MAX = 30,
    EVENING_GROW_MAX = 30,
    EVENING_FILL_MAX = 4
};

/* Orders that are served alike: as old at most, as dear when short. */
struct evening_want {
    double mean_kg[EVENING_DAYS_MAX], spread_kg[EVENING_DAYS_MAX]; /* by day, as expected now */
    double relative[EVENING_DAYS_MAX]; /* by days ahead, growing, [0]: 0: deviation over mean */
    int keep_days;                     /* 0 ... EVENING_KEEP_MAX: last day sold after harvest */
    double short_cost_per_kg;
};

/* Stock, or what grows. */
struct evening_lot {
    int made_day, sell_day; /* harvested; may be sold from. made_day -EVENING_KEEP_MAX or later */
    double kg;              /* by the mean yield */
    bool is_here, is_day_known, is_passed;
    double seed_relative; /* as in plan_running */
};

struct evening_case {
    const struct chance_crop *crop; /* yield_mean and seed_less are not used: kg are by the mean */
    double shared_part;
    uint64_t seed;
    int tonight;    /* day 0 ... day_count - 1 */
    int day_count;  /* played; day_count + grow_days + EVENING_FILL_MAX <= EVENING_DAYS_MAX */
    int grow_days;  /* 1 ... EVENING_GROW_MAX */
    int ready_days; /* from soaking until the laboratory has answered; 0: nothing is waited for */
    int cleaning_days;
    const struct evening_want *wants; /* in the order they are served */
    int want_count;
    const struct evening_lot *lots;
    int lot_count;
    int chambers[EVENING_DAYS_MAX];   /* free for this crop */
    int starts_max[EVENING_DAYS_MAX]; /* chambers that may be started */
    double kg_per_seed_kg, seed_min_kg, seed_max_kg;
    double start_cost, seed_cost_per_kg, waste_cost_per_kg, hold_cost_per_kg_day;
    double end_value_per_kg; /* of goods that are left after the last day and still sold then */
    double deviation_kg;     /* of what can go otherwise until a start is harvested */
};

/* How later evenings are planned. */
struct evening_rule {
    double level;  /* of the cover, in deviations */
    int fill_days; /* a chamber is filled for as many days more; 0 ... EVENING_FILL_MAX */
};

/* What is started tonight: chambers alike. */
struct evening_start {
    int count;
    double seed_kg; /* of each */
};

struct evening_futures;

/* How many futures the bytes have room for, 8 at least. */
int evening_room(const struct evening_case *c, size_t bytes);
/* The same case and count give the same futures. */
struct evening_futures *evening_draw(struct arena *a, const struct evening_case *c, int count);
/* What a future counts in a mean over those drawn, 0 or more; 1 on average over many. */
double evening_weight(const struct evening_futures *futures, int future);
/* The cost of one future, 0 ... count - 1. */
double evening_play(const struct evening_case *c, const struct evening_futures *futures, int future,
                    const struct evening_rule *rule, const struct evening_start *tonight);

#endif
