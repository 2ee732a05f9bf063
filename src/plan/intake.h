/* The planning problem of a house that receives fruit instead of growing it: what to take in, buy,
 * sort, press, keep and pack on which day.
 *
 * It stands beside problem.h as construct, solver and outcome stand beside each other: days, groups
 * and order lines are the same. Whoever holds the record fills this struct; plan/ only computes.
 * All pointers are borrowed and must outlive the plan.
 *
 * Days are indices: 0 is first_day (today). Everything is kg of goods. A good is fruit as it comes,
 * fruit of a grade, juice, concentrate, powder, packs; a use takes kg of one good and gives kg of
 * others, all within the day: a grade split by recipe shares gives several at once. Costs are in
 * any one unit.
 *
 * Goods born on day b (arrived, or made) may be used, sold and kept from b to b + keep_days, both
 * included; a line on day t takes them where b + keep_days - t >= remaining_days of its group. A
 * use with keeps_age hands the day of birth on (a pack is as old as its fruit), else what it gives
 * is born on the day it is made. What a use gives that is already too old leaves at once.
 *
 * What stands at the end of a day fills the store of its good. Goods may leave at the end of any
 * day at out_cost_per_kg (waste; feed and compost that somebody takes may even pay), and a
 * delivery may be turned away, so there always is a plan. What can't be met is short. */
#ifndef PLAN_INTAKE_H
#define PLAN_INTAKE_H

#include "plan/problem.h"

enum { INTAKE_DAYS_MAX = 60, INTAKE_KEEP_MAX = 1000, INTAKE_LIMITS_MAX = 64 };

/* A cold room (kg) or tanks (litres). */
struct intake_store {
    const char *code;
    const double *limit; /* by day, in the store's own unit; INFINITY: none */
    /* Tanks: each holds one good born on one day and nothing else, tank_size of it at most; there
     * are tank_count. 0: one room for all. The limit holds besides. */
    double tank_size;
    int tank_count;
    bool cleaned_next_day; /* a tank that is emptied takes nothing that stands at the same day's end
                            */
};

struct intake_good {
    const char *code;
    int store;          /* PLAN_NONE: takes no room */
    double room_per_kg; /* of the store's unit, > 0 */
    int keep_days;      /* 0 ... INTAKE_KEEP_MAX */
    double hold_cost_per_kg_day, out_cost_per_kg;
    /* what stands after the last day with a day of life left: up to end_kg_wanted are worth
     * end_value_per_kg */
    double end_kg_wanted, end_value_per_kg;
};

struct intake_machine {
    const char *code;
    const double *hours; /* by day; INFINITY: none */
};

/* kg given for each kg taken in. */
struct intake_part {
    int good;
    double share; /* > 0 */
};

struct intake_need {
    int machine;
    double hours_per_kg; /* taken in */
};

struct intake_use {
    const char *code;
    int good; /* taken in */
    const struct intake_part *parts;
    int part_count;
    const struct intake_need *needs;
    int need_count;
    double added_per_kg; /* what is added from outside (carrier, water), kg a kg; all parts together
                            give at most 1 + added, the rest is lost (evaporated, shrunk) */
    double cost_per_kg;  /* taken in */
    bool keeps_age;
};

/* Stands now. Past its life it counts for nothing. */
struct intake_lot {
    const char *code;
    int good;
    int born_day; /* <= 0 */
    double kg;
};

/* Will come: booked, or expected from growers. Born on its day. */
struct intake_delivery {
    const char *key;
    int good, day;
    double kg;
    bool is_booked;
    double turn_cost_per_kg; /* what turning it away costs */
};

/* May be bought: arrives from lead_days on, kg_a_day at most and kg_in_all. */
struct intake_offer {
    const char *code;
    int good, lead_days;
    double kg_a_day, kg_in_all; /* INFINITY: none */
    double price_per_kg;
};

struct intake_product {
    const char *code; /* the packed item */
    int good;
    double net_kg; /* one piece as it is really filled */
};

struct intake_problem {
    int32_t first_day;
    int day_count;
    const struct intake_store *stores;
    const struct intake_good *goods;
    const struct intake_machine *machines;
    const struct intake_use *uses; /* of several that give the same, the earlier is preferred by the
                                      plan made at once */
    const struct intake_lot *lots;
    const struct intake_delivery *deliveries;
    const struct intake_offer *offers;
    const struct intake_product *products;
    const struct plan_group *groups; /* late_days 0 */
    const struct plan_line *lines;
    int store_count, good_count, machine_count, use_count, lot_count, delivery_count, offer_count;
    int product_count, group_count, line_count;
};

/* Every index and range of the above; a use can't come round to its own good. PLAN_FIELD names the
 * first that is wrong. */
MUST_USE struct result intake_check(const struct intake_problem *p);
double intake_line_kg(const struct intake_problem *p, const struct plan_line *line);

#endif
