/* Between the files that read a planning problem; nobody else includes this. */
#ifndef SERVICE_PLANNING_INNER_H
#define SERVICE_PLANNING_INNER_H

#include "plan/impose.h"
#include "service/chamber.h"
#include "service/planning.h"

enum { PLANNING_LINES_MAX = 100000 };
/* Days ahead for which the warmth so far says on which day a chamber is harvested. common practice
 */
enum { PLANNING_DAYS_SURE = 2 };

struct reading {
    struct store *store;
    struct warmth_kept *kept; /* NULL: nothing is kept */
    const struct profile *profile;
    struct arena *arena;
    int64_t now_ms;
    int offset_min;
    int32_t first_day;
    struct planning_case *out;
    /* being built; the problem's const views point here */
    struct plan_market *markets;
    struct plan_group *groups;
    struct group_key {
        const char *group, *market;
    } * group_keys;
    struct plan_crop *crops;
    struct plan_product *products;
    struct plan_chamber *chambers;
    struct plan_running *running;
    int64_t *running_seed;  /* by running lot: the seed lot in it, 0: several */
    double *running_factor; /* what its tests promised */
    struct plan_seed_lot *seed_lots;
    int64_t *seed_ids; /* by seed lot */
    const char **chamber_codes;
    const char **seed_items;
    int seed_item_count;
    struct plan_ingredient *ingredients;
    struct plan_ingredient_lot *ingredient_lots; /* PLAN_INGREDIENT_LOTS_MAX of each */
    int ingredient_count;
    struct planning_retest *retests;
    size_t retest_count;
    const double *value_per_kg; /* by product; NULL: the profile's for all */
};

/* Of the label's weight: packs are filled with half a per cent more. */
#define PLANNING_FILLED 1.005

int planning_group_of(const struct reading *r, const char *group,
                      const char *market); /* PLAN_NONE: none */
int planning_product_of(const struct reading *r, const char *item);
int planning_crop_of(const struct reading *r, const char *item);
int planning_market_of(const struct reading *r, const char *market);
uint32_t planning_market_bits(const struct reading *r, const char *markets); /* "": all */

/* How the crop would grow at a temperature kept. PLAN_FIELD where nothing grows. */
MUST_USE struct result planning_way_at(struct store *s, const struct profile *p,
                                       const struct crop *crop, int64_t temp_mc,
                                       struct plan_way *out);

/* The crop's ways from the first of them, which is at its set point: so many days early or late as
 * the profile lets it be harvested, each at its yield. -> count */
int planning_ways(struct arena *a, const struct profile *p, const char *item,
                  const struct plan_way *first, const struct plan_way **out);

/* Into a lot that grows, by itself ready on that day (below 0: overdue): the other days on which
 * the house lets it be harvested, from tomorrow on, or today where a plan told so. What is overdue
 * bears what a late one does. */
void planning_other_days(const struct reading *r, const struct chamber_run *g, int ready,
                         struct plan_running *x);

/* From which day on goods may leave, by market: where one test is enough, where it takes a second,
 * and as the house plans. lot and harvest_day, for people, and the markets they may go to are told
 * before. */
struct planning_tested {
    const char *lot;
    int harvest_day;
    uint32_t markets;
    const int *once_day, *again_day, *ready_day;
    bool is_open; /* for none of its markets every result is in and negative */
};
/* Of the samples of a lot soaked on that day, and of what it was made from; soonest where every
 * result is in and negative. A
 * result that is tested again is remembered for the plan's sentences, each lot once. */
MUST_USE struct result planning_tested(struct reading *r, int64_t lot, int start_day, int soonest,
                                       struct planning_tested *out);

/* What is closed on which day, in the case. */
void planning_read_closed(struct reading *r);
/* The same, and takes what the house does not do on closed days from the limits of the days. */
void planning_read_closing(struct reading *r, struct plan_day *days);
/* What of enum closes is not done on a day of the plan, as bits. */
unsigned planning_closed(const struct reading *r, int day);
/* The day itself or the first after it on which a chamber can be emptied; day_count: none. */
int planning_harvest_open(const struct reading *r, int day);
/* The others, and after them a day without orders for each calendar day when nothing is dispatched.
 */
struct demand_holiday *planning_closed_days(const struct reading *r, int32_t from, int32_t to,
                                            const struct demand_holiday *others, int *inout_count);

/* Markets and groups. */
MUST_USE struct result planning_read_partners(struct reading *r);
MUST_USE struct result
planning_read_house(struct reading *r); /* markets, groups, crops, products, chambers */
MUST_USE struct result planning_read_goods(struct reading *r); /* running, stock, seed, taken */
/* What standing orders ask for beyond the orders of their customers: into in->standing for the
 * plan's days, and as past demand for days of the history that went by without an order. past has
 * room for PLANNING_LINES_MAX. */
MUST_USE struct result planning_read_standing(struct reading *r, struct demand_input *in,
                                              struct demand_past *past);
MUST_USE struct result planning_read_demand(struct reading *r); /* lines */
/* What packs take beside the crop, after house; and the lots of it. */
void planning_read_recipes(struct reading *r);
MUST_USE struct result planning_read_ingredients(struct reading *r);
/* One lot more of an ingredient, after the others; false: no recipe takes it, or it has too many.
 */
bool planning_add_ingredient(struct reading *r, const char *item, double kg, int from_day);
/* Deliveries awaited, as lots on their way; after seed and ingredients. */
MUST_USE struct result planning_read_agreed(struct reading *r);
/* How batches went otherwise than planned; after house and demand. */
MUST_USE struct result planning_read_chance(struct reading *r);
/* The problem that is planned: with safety, and with the starts of the first open evening as they
 * do best when rehearsed. tonight NULL: nothing was rehearsed. */
MUST_USE struct result planning_rehearse(struct arena *a, const struct planning_case *c,
                                         const struct planning_ask *ask,
                                         const struct safety *safety, struct imposed *out,
                                         const struct tonight **tonight);

/* "met_ppm", "share_ppm", "word" and "sentence" of a chance, as in planning_chance_json. */
void planning_chance_say(json_t *o, const struct chance_line *x, int late_days, struct arena *a,
                         const char *lang);
/* Into each of a list that names an order its chance in per cent, from the lines of a chance. */
void planning_chance_percent(const json_t *lines, json_t *list);

#endif
