/* Invented planning problems for tests: all numbers come from a seed, none from a plant. */
#ifndef TESTS_PLAN_INSTANCE_H
#define TESTS_PLAN_INSTANCE_H

#include "plan/problem.h"

struct instance_size {
    int days, crops, groups, classes, chambers, lots, running, stock, taken, frozen_days;
    bool outages;    /* some chambers go out of service later on */
    bool laboratory; /* results are waited for; the second market waits longer */
    bool retests;    /* and every result is planned with its second test */
    bool day_limits; /* treating, washing, packing, hours and counts bind now and then */
    bool end_wanted;
    bool shut;    /* on some days nothing is dispatched, on others the house stands still */
    bool parts;   /* now and then a way harvested in parts */
    bool swaps;   /* now and then a second pack of a crop, given in place of the first */
    bool across;  /* packs of the first two crops given in place of each other's */
    bool choices; /* most running lots may be harvested on other days */
    bool dishes;  /* each crop is also packed as a dish; two ingredients run out now and then */
    bool bowls;   /* and each dish holds the next crop, too */
};

extern const struct instance_size instance_small; /* every feature, solved in well under a second */
extern const struct instance_size instance_choices; /* the same, and running lots' other days */
extern const struct instance_size instance_dishes;  /* the same, and dishes */
extern const struct instance_size instance_bowls;   /* the same, and dishes of two crops */
extern const struct instance_size instance_across;  /* the small one, and swaps across crops */
extern const struct instance_size instance_plain;   /* a few chambers, no limits but theirs */

struct plan_problem *instance_make(struct arena *a, uint64_t seed,
                                   const struct instance_size *size);

/* One crop, one product, one group, one class, one lot, no limits: to be changed by the test that
 * takes it. 10 days, 2 chambers of 10 to 20 kg seed, one way of 4 days and 5 kg per kg, life 3
 * days, 1 kg a piece, no line. */
struct handmade {
    struct plan_problem p;
    struct plan_market market;
    struct plan_group group;
    struct plan_crop crop;
    struct plan_way ways[2];
    struct plan_fill fills[2];
    struct plan_product product;
    struct plan_class classes[2];
    struct plan_chamber chambers[6];
    struct plan_seed_lot lots[4];
    struct plan_running running[4];
    struct plan_other others[4][2]; /* of no effect until the test points to them */
    struct plan_stock stock[4];
    struct plan_taken taken[6];
    struct plan_day days[20];
    struct plan_work work;
    double work_per_kg, work_limit[20];
    struct plan_ingredient ingredient; /* no lots; count 0 */
    struct plan_ingredient_lot ingredient_lots[4];
    double ingredient_per_piece[2];
    struct plan_product products[2]; /* the product, and a dish of its crop: 0.25 kg in 0.5 kg */
    bool is_shut[20];                /* of no effect until the test points to it */
    struct plan_line lines[20];
    struct plan_outage outage;
    int ready_day[PLAN_MARKETS_MAX];
    const char *seed_items[1];
};

void handmade_init(struct handmade *h);
/* Two running lots, in the first two chambers, each with two other days than its forecast and one
 * of its three days told. */
void choose_small(struct handmade *h, uint64_t seed);
/* Adds an order for the one product; shortage 10 a kg. */
void handmade_want(struct handmade *h, int day, int64_t pieces);

#endif
