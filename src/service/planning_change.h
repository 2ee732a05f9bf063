/* What if: a planning problem changed on the way to a plan, and nothing else. The record is read
 * and never written.
 *
 * A wish is {"keep"?: "most"|"balance"|"best", "service_ppm"?: N, "changes"?: [..]}; a change is
 * one of
 *   {"what":"chamber-out","chamber":"C1","from"?:DAY,"to"?:DAY}   out of service, both included
 *   {"what":"chambers","count":N}                                  so many more, as the first is
 *   {"what":"temperature","item":"MUNG","temp_mc":N}               what is started from now on;
 *                                                                  at most the crop's heat_best
 *   {"what":"life","item":"M250","days":N}                         shelf life of a packed item
 *   {"what":"order",..}                                 as in planning_change_order.h
 *   {"what":"seed","lot":CODE,"g":N,"day"?:DAY}                    what a seed lot holds, from when
 *   {"what":"seed","item":"MUNGSEED","g":N,"day"?:DAY}             one lot more, approved for all,
 *                                                                  usable from the day on
 *   {"what":"ingredient","item":"SESAME","g":N,"day"?:DAY}         one lot more, from the day on
 *   {"what":"work","name":"people","a_day_milli":N}                a day, in the profile's unit
 *   {"what":"limit","name":"treat"|"soak"|"harvest"|"wash"|"pack","g":N}   a day, every day
 * or one of planning_change_house.h. */
#ifndef SERVICE_PLANNING_CHANGE_H
#define SERVICE_PLANNING_CHANGE_H

#include "base/json.h"
#include "service/planning.h"

/* How much of the plan taken is kept where something better is possible: as much as can be, as the
 * profile weighs it, or nothing but what is frozen. */
enum planning_keep { PLANNING_KEEP_MOST, PLANNING_KEEP_BALANCE, PLANNING_KEEP_BEST };

enum { PLANNING_CHANGES_MAX = 50 };

struct planning_wish {
    enum planning_keep keep;
    bool has_service;      /* asked for; else the profile's holds */
    double service;        /* as in planning_ask: share of what is wanted, 0: the least cost */
    const json_t *changes; /* NULL: none; borrowed */
};

/* FIELD_TYPE, FIELD_RANGE, FIELD_CHOICE. body may be NULL: the balance, no share asked for and no
 * change. */
MUST_USE struct result planning_wish_read(const json_t *body, struct planning_wish *out);
/* The share that holds, of the wish or else of the profile. */
double planning_service(const struct planning_wish *wish, const struct profile *p);
/* Whether that is the profile's, and the profile has one. */
bool planning_service_of_profile(const struct planning_wish *wish, const struct profile *p);
const char *planning_keep_id(enum planning_keep keep);
/* Changes out, which is what planning_read gave for now_ms, in its arena. FIELD_*, PLACE_UNKNOWN,
 * ITEM_UNKNOWN, LOT_UNKNOWN, PARTNER_UNKNOWN, ORDER_UNKNOWN, PLAN_FIELD. */
MUST_USE struct result planning_change(struct store *s, struct warmth_kept *kept,
                                       const struct profile *p, int64_t now_ms, struct arena *a,
                                       const struct planning_wish *wish, struct planning_case *out);
/* The problem in which nothing is started but what is taken: what the plan in force gives as things
 * stand now. Taken starts that can't be made any more stand among its plan's dropped. */
struct plan_problem planning_standing(const struct plan_problem *p);

#endif
