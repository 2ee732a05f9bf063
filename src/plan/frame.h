/* What a planning problem is made of once it is sorted: everything that model, construct, place and
 * explain have in common.
 *
 * pool    chambers of one class that are out of service on the same later days: alike from the day
 * each becomes free, so that counting them is enough and names can always be given afterwards
 * (interval colouring) blend   seed lots that may go into one chamber without narrowing where its
 * product may be sold: same item, same markets grade   seed lots of a blend whose yield factors lie
 * within 2 %, planned with the lowest of them option  one way to start: day, crop, way, pool, blend
 * fill    seed of one grade in one option
 * node    product of one crop that becomes sellable alike: harvest day, markets, first day for each
 * market cell    wanted goods that are served alike: crop, day, market, oldest harvest taken, cost
 * of shortage; the mix of its products (mix.h); and the product, where packed stock of that crop
 * makes it matter. Of a dish of several crops a cell of its own crop, and one more of each other
 * crop in it; and all of these once more for each later day on which it may leave (dish.h), after
 * all others
 *
 * All arrays live in the arena given; the problem must outlive the frame. */
#ifndef PLAN_FRAME_H
#define PLAN_FRAME_H

#include "plan/problem.h"

struct plan_pool {
    int class_index, chamber_count;
    int *chambers;
    int *usable; /* chambers in service and free of what runs now, by day, span_days */
    int *most;   /* the same where each running lot is harvested as soon as it may be */
};

/* A day on which a running lot is harvested. */
struct plan_choice {
    int running, choice; /* of plan_running */
    int day;
    double packed_kg;
    int node; /* PLAN_NONE: nothing comes of it */
};

struct plan_grade {
    int blend;
    double yield_factor;
    double
        cost_per_kg; /* mean of what its lots still hold: one price, whichever lot is weighed out */
    int lot_count;
    int *lots; /* by last usable day, then by age */
};

struct plan_blend {
    int seed_item;
    uint32_t markets;
    int first_grade, grade_count;
};

/* One harvest of a start. */
struct plan_harvest {
    int day;
    int node;     /* PLAN_NONE: after the last day */
    double share; /* of all that the start gives */
};

struct plan_option {
    int day, crop, way, pool, blend;
    int harvest_day; /* the first */
    int last_day;    /* the last: the chamber is emptied */
    int node;        /* of the first harvest; PLAN_NONE: after the last day */
    int harvest_count;
    const struct plan_harvest *harvests;
    int first_fill; /* fills first_fill ... + grade_count of the blend - 1 */
    double seed_min_kg, seed_max_kg;
    bool is_replacement; /* on a frozen day, in place of a taken start that became impossible */
};

struct plan_fill_at {
    int option, grade;
    double packed_kg_per_kg; /* of all harvests */
};

/* What products hold beside the crop, of a kg of crop in them. */
struct plan_mix {
    double pack_kg; /* packed */
    double *takes;  /* kg of each ingredient */
};

struct plan_node {
    int crop, product; /* product PLAN_NONE: any of the crop */
    int harvest_day;
    bool is_stock; /* already harvested and packed or waiting to be: no day's limit is used */
    uint32_t markets;
    int ready_day[PLAN_MARKETS_MAX];
    double given_kg;  /* from running lots as told, stock and fixed starts */
    double end_value; /* of one kg nobody took, 0 where it won't keep past the last day */
};

struct plan_cell {
    int crop, product, mix, day, market;
    int oldest_harvest_day; /* of goods that leave on day; a day younger for each day later */
    int late_days;
    uint32_t swaps; /* bits of problem.swaps: what may be given instead */
    double shortage_cost_per_kg, late_cost_per_kg_day, kg;
    int want; /* the cell whose kg and shortage it shares; itself but for a dish that leaves late */
    int later;               /* the next cell that shares them, of a later day; PLAN_NONE */
    double late_cost_per_kg; /* of a dish that leaves on this later day; 0 */
    int dish;                /* of several crops: which; PLAN_NONE */
    int own;     /* of another crop in a dish: the cell of the dish's own crop; else PLAN_NONE */
    double each; /* kg of it for a kg of the own crop */
    double worth_per_kg; /* of a kg met, to whoever looks at one crop by itself */
};

/* A dish of several crops that is wanted, by one of the days on which it may leave: its cells. */
struct plan_dish {
    int own, first, count; /* the cell of its own crop; first ... + count - 1: those with it */
};

/* A taken start on a frozen day, seed lots settled. */
struct plan_fixed {
    int taken, pool, last_day;
    int harvest_count;
    const struct plan_harvest *harvests;
    double packed_kg;
    uint32_t markets;
    int part_count;
    struct plan_seed_part {
        int lot;
        double kg;
    } * parts;
};

enum plan_drop_reason { PLAN_DROP_CHAMBER, PLAN_DROP_SEED };

/* A taken start on a frozen day that can't be made any more. */
struct plan_drop {
    int taken;
    enum plan_drop_reason reason;
};

/* Starts taken on later days that are alike; each one not kept costs change_cost. */
struct plan_wish {
    int day, crop, way, pool, count;
};

struct plan_frame {
    const struct plan_problem *p;
    struct arena *arena;
    int span_days; /* day_count and as far as the last start reaches */
    struct plan_pool *pools;
    int *pool_of_chamber;
    struct plan_blend *blends;
    struct plan_grade *grades;
    int *grade_of_lot; /* PLAN_NONE: not usable for any market */
    double *lot_kg;    /* left after the fixed starts */
    struct plan_option *options;
    struct plan_fill_at *fills;
    struct plan_node *nodes;
    struct plan_mix *mixes; /* 0: the crop alone */
    int *mix_of_product;
    int with_mix; /* of what goes into another crop's dish: the dish weighs and takes; 0: no dish */
    struct plan_cell *cells;
    int *cell_of_line;        /* PLAN_NONE: nothing wanted */
    struct plan_dish *dishes; /* of several crops; what leaves later after what leaves in time */
    int *tied_to;    /* by crop: the first of those that swaps across crops tie together; itself */
    double *unit_kg; /* by crop: kg of it that stand for a kg of that first one, as the first swap
                        that ties it has it; 1 */
    struct plan_fixed *fixed;
    struct plan_drop *drops;
    struct plan_wish *wishes;
    int *busy_fixed; /* chambers that fixed starts take: pool * span_days + day */
    int *node_of_running, *node_of_stock; /* as told; PLAN_NONE: not in time */
    struct plan_choice *choices; /* of running lots that have other days: all of each in turn */
    int *first_choice;           /* by running lot; running_count + 1 */
    int choice_count;
    double *fixed_end_kg; /* by crop: fixed starts and running lots that stand at the end */
    int pool_count, blend_count, grade_count, option_count, fill_count, node_count, cell_count;
    int fixed_count, drop_count, wish_count, mix_count, dish_count;
    bool has_uneven_swap; /* a piece given is otherwise many units than the piece wanted */
    bool has_ties;        /* some crop is given in place of another */
};

/* The problem must have passed plan_problem_check. */
struct plan_frame *plan_frame_make(struct arena *a, const struct plan_problem *p);
/* First day goods of the node may go to the market; PLAN_NEVER. */
int plan_node_ready_day(const struct plan_node *n, int market);
bool plan_lot_usable(const struct plan_seed_lot *lot, int day);
/* Taken starts of the crop on that frozen day that can't be made. */
int plan_dropped(const struct plan_frame *f, int day, int crop);

#endif
