/* Between the files that play futures (chance.h); nobody else includes this. */
#ifndef PLAN_CHANCE_INNER_H
#define PLAN_CHANCE_INNER_H

#include "plan/chance.h"

#define CHANCE_NOTHING_KG 1e-6

/* Goods, as planned and as one future has them. */
struct goods {
    int crop, product, start_day, harvest_day; /* start_day: of a start, else PLAN_NONE */
    int chamber;
    bool is_here;      /* stock: its day and kilograms are known */
    bool is_day_known; /* its day by its own warmth */
    bool is_certain;   /* and so is all else */
    uint32_t markets;
    int once_day[PLAN_MARKETS_MAX], again_day[PLAN_MARKETS_MAX];
    double planned_kg, seed_relative; /* seed_relative: as in plan_running */
    uint64_t thing;
    /* in this future */
    int day, delay_days;
    bool is_retested;
    double kg;
};

struct asked {
    int line;
    int day, market, oldest_day, crop;
    double piece_kg; /* of crop */
    int late_days;
    double late_cost_per_kg_day;
    uint32_t swaps; /* bits of problem.swaps: what may be given instead */
    bool across;    /* some of it of another crop */
    /* in this future */
    double want_kg, left_kg;
};

struct playing {
    const struct plan_problem *p;
    const struct chance_model *m;
    uint32_t future;
    struct goods *goods;
    int goods_count;
    int *chamber_order; /* goods that stand in chambers: by chamber, then day */
    int chamber_count;
    struct asked *asked; /* in the order of serving */
    int *by_age;         /* goods: by crop, then harvest day in this future */
    int *first_of_crop;  /* in by_age; crop_count + 1 */
    double *level;       /* by product and group: normal deviate all days share */
    double *of_mean, *of_barring, *of_barring_early, *of_retesting; /* by crop, in this future */
    int *life_days; /* by crop: the longest of its products */
    struct plan_day *left;
    double *ingredient_kg; /* used: ingredient * day_count + day of packing */
    double fixed_cost;
    bool takes_late; /* some group does */
    bool has_across; /* some line takes another crop's goods */
    struct chance *out;
    struct sums {
        double sum, squares;
    } wanted, met, missed, waste, cost, late;
};

/* Gives the line on the day what it is short of: what was ordered first, then what of its crop may
 * be given instead, a piece for a piece; adds the cost of what is late and of what was kept until
 * then. -> kg of what was ordered that are served */
double chance_serve(struct playing *x, const struct asked *w, int day, double *cost);
/* The same with what of other crops may be given instead. */
double chance_serve_across(struct playing *x, const struct asked *w, int day, double *cost);

#endif
