/* What a plan leaves of every limit: the common arithmetic of building a plan by hand and of saying
 * why one is short. */
#ifndef PLAN_SLACK_H
#define PLAN_SLACK_H

#include "plan/plan.h"

enum plan_limit {
    PLAN_LIMIT_TOO_LATE,   /* nothing started now could be harvested by the day */
    PLAN_LIMIT_SHELF_LIFE, /* what could be harvested in time would be too old for the group */
    PLAN_LIMIT_LABORATORY, /* what could be harvested in time would still wait for its result */
    PLAN_LIMIT_NO_CHAMBER, /* no class of chamber takes the crop */
    PLAN_LIMIT_CHAMBERS,
    PLAN_LIMIT_SEED,     /* none left that is usable on the day */
    PLAN_LIMIT_APPROVAL, /* there is seed, but none approved for the group's market */
    PLAN_LIMIT_STARTS,
    PLAN_LIMIT_TREATMENT,
    PLAN_LIMIT_SOAKING,
    PLAN_LIMIT_HARVESTS, /* chambers a day */
    PLAN_LIMIT_HARVEST,  /* kg a day */
    PLAN_LIMIT_WASHING,
    PLAN_LIMIT_PACKING,
    PLAN_LIMIT_INGREDIENT, /* not enough of one that goes into the pack */
    PLAN_LIMIT_WORTH, /* nothing stands in the way; the least filling of a chamber costs more than
                         the shortage */
    PLAN_LIMIT_DISPATCH, /* nothing is dispatched on the day, nor while the group still takes it */
    PLAN_LIMIT_WORK,     /* the first of problem.works; the others follow */
    PLAN_LIMIT_COUNT = PLAN_LIMIT_WORK + PLAN_WORKS_MAX
};

struct plan_slack {
    const struct plan_frame *f;
    int *chambers;         /* pool * span_days + day */
    struct plan_day *days; /* what is left of each day */
    double *lot_kg;
    double *works;         /* work * day_count + day */
    double *ingredient_kg; /* used: ingredient * day_count + day of packing */
};

/* What fixed starts and running lots leave. Running lots count in days only as harvested chambers:
 * their kg, like all goods, count when they are taken (slack_goods). Never below 0. */
struct plan_slack *slack_new(struct arena *a, const struct plan_frame *f);
/* Both of one frame. */
void slack_copy(struct plan_slack *to, const struct plan_slack *from);
/* What the whole plan leaves. */
struct plan_slack *slack_of_plan(struct arena *a, const struct plan *plan);

/* Limits, as bits 1 << enum plan_limit, that keep one more chamber with this much seed from being
 * started; 0: it can be. */
uint32_t slack_start_blocks(const struct plan_slack *s, int day, const struct plan_way *way,
                            int pool, double seed_kg);
uint32_t slack_seed_blocks(const struct plan_slack *s, int day, int blend, double seed_kg);
/* Limits that keep goods of a harvest day from being packed into a mix. */
uint32_t slack_goods_blocks(const struct plan_slack *s, int crop, int harvest_day, int mix);
/* Most kg of the crop the harvest day still lets through into a mix. */
double slack_goods_kg(const struct plan_slack *s, int crop, int harvest_day, int mix);
/* The same of a node: stock asks for no work of a day, packed stock for nothing at all. */
uint32_t slack_node_blocks(const struct plan_slack *s, int node, int mix);
double slack_node_kg(const struct plan_slack *s, int node, int mix);
/* The first ingredient that a mix lacks on a day; PLAN_NONE. */
int slack_lacks(const struct plan_slack *s, int day, int mix);
/* Most seed of a grade on a day. */
double slack_grade_kg(const struct plan_slack *s, int grade, int day);

/* A running lot goes from one choice of the frame to another. */
void slack_choose(struct plan_slack *s, int from, int to);
void slack_take_chambers(struct plan_slack *s, int option, int count);
/* Takes seed of a grade from its lots, soonest useless first; the lots must hold it. */
void slack_take_seed(struct plan_slack *s, int fill, double kg);
void slack_take_goods(struct plan_slack *s, int node, int mix, double kg);

#endif
