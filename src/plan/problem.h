/* The planning problem: what to soak on which day, of which seed, for demand that is days away.
 *
 * Whoever holds the record fills this struct; plan/ only computes. All pointers are borrowed and
 * must outlive the plan.
 *
 * Days are indices: 0 is first_day (today), day_count - 1 the last day looked at; negative ones lie
 * in the past. Masses are kg of
 * - seed: dry seed as weighed out, - bed: what a chamber gives at harvest, - packed: what ends up
 * in packs. Cost is in any one unit; only ratios matter. Markets are bits: bit m stands for
 * markets[m].
 *
 * A start soaked on day s grows grow_days: harvest day h = s + grow_days. Its chamber is taken from
 * s to h + cleaning_days - 1; cleaning_days is at least 1, so the harvest day itself is always
 * taken. Product of the start may leave for market m from max(h, ready day) on, where the ready day
 * is the first whose dispatch_hour is not before soak_hour of day s plus sample_age_h + transit_h +
 * laboratory_h; a house that plans a second test (retest_planned) adds retest_h. Dispatch on day t
 * to group g needs h + life_days - t >= remaining_days of the group: younger goods only. Where the
 * group takes goods late, a line is dispatched on the first day from its own on that its goods may
 * leave, at most late_days after it. Nothing is dispatched on a day that is_shut: goods leave on
 * the first other day then, as far as the line is taken late. What can't be met is short.
 *
 * Where a way is in parts, each part is a harvest of its own on its day; the chamber is taken until
 * the last, and to the top: what it bears then hangs on the counts of chambers alone.
 *
 * A running lot may have other days on which it is harvested at a share of what its forecast
 * promises: the plan chooses one, and its chamber is free from then on. Each lot that is not
 * harvested on the day that people were told costs change_cost; a day already told keeps its limits
 * as they stood. Such a lot is alone in its chamber.
 *
 * A chamber filled with several seed lots sells only where all of them may. Harvested, washed and
 * packed on the harvest day; what is not wanted is not processed but counted as waste.
 *
 * Packed kg are kg of the crop. A dish holds less of it than it weighs: crop_kg of each piece; the
 * day's packing limit counts what the pieces weigh. Ingredients and packaging go into a piece on
 * the day it is packed, from lots that may be used on that day; what is packed already takes none.
 *
 * A dish of several crops is packed on the harvest day of its own crop; the others in it are
 * harvested on that day or before and wait for it, washed and not packed. Each keeps its age and
 * its result: all of them must be young enough and free on the day it leaves, the line's own or,
 * where the group takes goods late, a later one. Its kg, and what a kg short or late of it costs,
 * are those of its own crop. */
#ifndef PLAN_PROBLEM_H
#define PLAN_PROBLEM_H

#include "base/arena.h"
#include "base/result.h"

enum {
    PLAN_DAYS_MAX = 120,
    PLAN_MARKETS_MAX = 8,
    PLAN_WORKS_MAX = 8,
    PLAN_SWAPS_MAX = 32,
    PLAN_PARTS_MAX = 6,
    PLAN_WITH_MAX = 4,
    PLAN_OTHERS_MAX = 10,
    PLAN_INGREDIENTS_MAX = 64,
    PLAN_INGREDIENT_LOTS_MAX = 128,
    PLAN_NEVER = 1 << 20,
    PLAN_NONE = -1
};

struct plan_market {
    const char *code;
    double sample_age_h; /* earliest age of the sample, from soaking */
    double transit_h;    /* to the laboratory */
    double laboratory_h; /* until the result; all three 0: no result is waited for */
    double retest_h;     /* more, where the first result asks for a second test; 0: not said */
};

struct plan_group {
    const char *code;
    int market;
    int remaining_days; /* life still left on the day of dispatch, >= 0 */
    int priority;       /* 1 served first ... 9 served last */
    int late_days;      /* a line is taken up to so many days after its own, 0: not */
    double late_cost_per_kg_day;
};

/* Temperature kept and the days it takes; a house may grow the same crop slower or faster, or
 * harvest early at a lower yield, or in parts. */
struct plan_way {
    const char *code;
    int grow_days;                /* 1 or more */
    double packed_kg_per_seed_kg; /* of seed with yield_factor 1, at the cautious quantile planned
                                     with (yield.h) */
    const struct plan_part *parts;
    int part_count; /* 0: all at once on grow_days */
    int off_days;   /* how many of grow_days it is harvested late, below 0 early; for people */
};

/* One harvest of a way in parts. The first is on grow_days (after_days 0), the others on later
 * days; shares sum to 1. */
struct plan_part {
    int after_days;
    double share;        /* of the bed */
    double yield_factor; /* what that share bears on its day over what it would have on grow_days */
};

/* How much seed one chamber of a class takes; seed_max_kg 0: the class is not for this crop. */
struct plan_fill {
    double seed_min_kg, seed_max_kg;
};

struct plan_crop {
    const char *code; /* the growing item */
    int seed_item;    /* index of the seed item it grows from */
    const struct plan_way *ways;
    int way_count;
    const struct plan_fill *fills; /* one for each class */
    double bed_kg_per_packed_kg;   /* harvested kg behind one packed kg, >= 1 */
    double start_cost;             /* for each chamber started */
    double waste_cost_per_kg;      /* packed kg nobody takes */
    double hold_cost_per_kg_day;   /* packed kg kept one day after harvest: freshness */
    /* what still grows after the last day: up to end_kg_wanted packed kg are worth end_value_per_kg
     */
    double end_kg_wanted, end_value_per_kg;
};

/* Another crop in a piece. */
struct plan_with {
    int crop;
    double kg;
};

struct plan_product {
    const char *code; /* the packed item */
    int crop;
    double net_kg;  /* one piece as it is really filled: label weight and giveaway */
    int life_days;  /* harvest day + life_days is the best-before day */
    double crop_kg; /* of its crop in one piece; 0: all of net_kg */
    const struct plan_with *with;
    int with_count; /* 0: nothing grown but its own crop */
};

struct plan_class {
    const char *code; /* chambers of a class are alike */
};

/* First and last day, both included. */
struct plan_outage {
    int from_day, to_day;
};

struct plan_chamber {
    const char *code;
    int class_index;
    int idle_since_day; /* last emptied and cleaned, <= 0; what runs in it stands in running[] */
    const struct plan_outage *outages; /* out of service; to_day PLAN_NEVER: until further notice */
    int outage_count;
};

/* A day on which a running lot may be harvested instead. */
struct plan_other {
    int day;             /* one of the days looked at */
    double yield_factor; /* over packed_kg */
    int off_days;        /* after the day it is ready, below 0 before; for people */
};

/* A lot that grows now. Its choices: 0 the forecast, 1 ... other_count the other days. */
struct plan_running {
    const char *lot;
    int chamber, crop;
    int harvest_day;  /* forecast: the day it is emptied, >= 0 */
    double packed_kg; /* forecast at the cautious quantile, 0 for a held or lost lot */
    uint32_t markets;
    const int *ready_day; /* by market: plan_ready_day of its soaking day, 0 when the result is in,
                             PLAN_NEVER when barred */
    const struct plan_other *others;
    int other_count;
    int told;     /* the choice that people know of, from a plan taken; 0: its forecast */
    int off_days; /* of the forecast: above 0 where it is overdue; for people */
    /* by market, as ready_day: where one test is enough, and where it takes a second; NULL:
     * ready_day */
    const int *once_day, *again_day;
    bool is_day_known; /* its own warmth says so: no luck moves the day any more */
    /* of what its seed lot gives: how far off packed_kg may be for that, over it; 0: as chance.h
     * has it for the crop */
    double seed_relative;
};

/* Harvested and not yet sold. */
struct plan_stock {
    const char *lot;
    int crop;
    int product;     /* PLAN_NONE while it is not packed */
    int harvest_day; /* <= 0 */
    double kg;       /* packed, or what will be packed of it */
    uint32_t markets;
    const int *ready_day;
    const char *batch; /* the running lot it is of, while that has no complete result for any of its
                          markets; NULL: it has */
    const int *once_day, *again_day; /* as of a running lot; NULL: ready_day */
};

struct plan_seed_lot {
    const char *code;
    int seed_item;
    double kg;
    int from_day, last_day; /* usable from (approved, arrived) to (expiry, retest); both included */
    uint32_t markets;       /* approved for; 0: not approved */
    double
        yield_factor; /* pure live seed over that of the lots behind the ways' yields (yield.h) */
    double cost_per_kg;
    int32_t received_day; /* calendar day, for oldest first */
};

/* A start somebody has taken from an earlier plan and not yet made. */
struct plan_taken {
    int day, chamber, crop, way;
    double seed_kg;
    int seed_lot; /* PLAN_NONE: any */
};

/* One day's limits; INFINITY and INT_MAX where there is none. */
struct plan_day {
    double treat_seed_kg, soak_seed_kg;
    double harvest_bed_kg, wash_bed_kg, pack_kg;
    int starts_max, harvests_max;
};

/* Work that goods ask for on their harvest day beside harvest, washing and packing: hours of
 * people, trimming, drying of what falls off, cooling. In any unit; a day has so much of it. */
struct plan_work {
    const char *code;
    const double *per_packed_kg; /* by crop, >= 0 */
    const double *limit;         /* by day, day_count; INFINITY: none */
};

/* A lot of an ingredient, here or on its way; usable from (arrived) to (best before), both
 * included.
 */
struct plan_ingredient_lot {
    double kg;
    int from_day, last_day;
};

/* What goes into pieces beside the crop: seasoning, trays, film. */
struct plan_ingredient {
    const char *code;
    const double *kg_per_piece; /* by product, >= 0 */
    const struct plan_ingredient_lot *lots;
    int lot_count;
};

/* Wanted: one order line, or what the forecast adds to the orders of a day (demand.h makes them).
 */
struct plan_line {
    const char *key; /* the order line's key; NULL for a forecast */
    int product, group, day;
    int64_t pieces;
    double spread_pieces; /* standard deviation of a forecast; 0 for an order */
    double shortage_cost_per_kg;
    const char *standing; /* the standing order's code; NULL: not of one */
    int moved_days; /* it is wanted so many days after day: nothing is dispatched then; for people
                     */
};

/* What a customer takes in place of what was ordered, a piece for a piece: packs of another item,
 * of the same crop or of another. Goods that may go as what was ordered go as that; within a crop a
 * swap is for packs that are made already, and for goods that only the other item's longer life
 * still sells. Another crop may be started for it. Age is judged by the life of what is given.
 * Neither may be a dish or take ingredients. */
struct plan_swap {
    int from_product, to_product; /* ordered, given */
    double cost_per_kg;           /* given, beside everything else */
    const bool *groups;           /* by group: who takes it; NULL: all */
};

struct plan_problem {
    int32_t first_day;
    int day_count;
    int frozen_days; /* days 0 ... frozen_days - 1 keep the starts taken; new ones only to replace
                        what became impossible */
    int cleaning_days;
    double soak_hour, dispatch_hour; /* of the house day, 0 ... 24 */
    double change_cost;              /* for each start taken on a later day and not kept */
    bool retest_planned;             /* every result is planned with its second test */
    const char *const *seed_items;   /* codes */
    const struct plan_market *markets;
    const struct plan_group *groups;
    const struct plan_crop *crops;
    const struct plan_product *products;
    const struct plan_class *classes;
    const struct plan_chamber *chambers;
    const struct plan_running *running;
    const struct plan_stock *stock;
    const struct plan_seed_lot *seed_lots;
    const struct plan_taken *taken;
    const struct plan_day *days; /* day_count */
    const bool *is_shut; /* by day: nothing is dispatched; NULL: on every day something is */
    const struct plan_work *works;
    const struct plan_ingredient *ingredients;
    const struct plan_line *lines;
    const struct plan_swap *swaps;
    int seed_item_count, market_count, group_count, crop_count, product_count, class_count;
    int chamber_count;
    int running_count, stock_count, seed_lot_count, taken_count, work_count, line_count;
    int swap_count, ingredient_count;
};

/* Every index and range of the above. PLAN_FIELD names the first that is wrong. */
MUST_USE struct result plan_problem_check(const struct plan_problem *p);
/* First day product of a start soaked on start_day may leave for the market (>= start_day). */
int plan_ready_day(const struct plan_problem *p, int market, int start_day);
/* The same where its result takes a second test, or not, whatever is planned. */
int plan_ready_day_tested(const struct plan_problem *p, int market, int start_day, bool again);
/* Earliest harvest day that still has the group's remaining life on the line's day. */
int plan_oldest_harvest_day(const struct plan_problem *p, const struct plan_line *line);
/* Harvests of a way, 1 or more, in the order of days; of each the days from soaking, and its share
 * of what all of them give. */
int plan_way_harvests(const struct plan_way *w);
int plan_way_harvest_days(const struct plan_way *w, int harvest);
double plan_way_share(const struct plan_way *w, int harvest);
/* Days from soaking to the last harvest. */
int plan_way_days(const struct plan_way *w);
/* Packed kg of all harvests from a kg of seed with yield_factor 1. */
double plan_way_yield(const struct plan_way *w);
/* Does the line's customer take the swap in place of what it orders? */
bool plan_swap_suits(const struct plan_problem *p, int swap, const struct plan_line *line);
/* Of its own crop in one piece. */
double plan_piece_kg(const struct plan_problem *p, int product);
/* Of any crop in one piece, its own or one with it; 0: none. */
double plan_crop_kg(const struct plan_problem *p, int product, int crop);
/* Of its own crop in all its pieces. */
double plan_line_kg(const struct plan_problem *p, const struct plan_line *line);
/* What a kg short costs, shared alike among the kg of all crops in the line. */
double plan_line_worth(const struct plan_problem *p, const struct plan_line *line);
/* The day itself, or the first one after it on which something is dispatched; PLAN_NEVER: none
 * of the days looked at. */
int plan_open_day(const struct plan_problem *p, int day);
/* Of a running lot by one of its choices. */
int plan_running_day(const struct plan_running *r, int choice);
int plan_running_off_days(const struct plan_running *r, int choice);
double plan_running_kg(const struct plan_running *r, int choice);
/* First day the chamber can be started, from what runs in it and from outages that begin before
 * that; choices: by running lot, NULL: those told. */
int plan_chamber_free_day(const struct plan_problem *p, int chamber, const int *choices);
/* The same problem with its running lots as chosen: no other days. */
struct plan_problem *plan_problem_chosen(struct arena *a, const struct plan_problem *p,
                                         const int *choices);

#endif
