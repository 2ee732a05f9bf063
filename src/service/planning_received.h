/* The plan of a house that receives fruit, from the record as it stands: what stands by lot and
 * place, orders and their forecast, and what the profile says of goods, uses, machines and fruit
 * that comes or can be bought (ledger/profile.h, struct received).
 *
 * Held lots count for nothing. A tank counts as the smallest of its store. Fruit comes by the
 * profile's standing agreements, less what came today without the name of a delivery, and by the
 * deliveries agreed that the record awaits (ledger/agreed.h), less what of each has come.
 *
 * On closed days (ledger/closing.h) machines rest and nothing is dispatched; deliveries come as
 * agreed.
 *
 * What a use gives is what the record's days of work say, drawn to the profile's shares
 * (plan/intake_luck.h); of too few days the profile's. */
#ifndef SERVICE_PLANNING_RECEIVED_H
#define SERVICE_PLANNING_RECEIVED_H

#include "plan/intake_luck.h"
#include "plan/intake_make.h"
#include "service/planning.h"
#include "service/planning_received_record.h"

/* Looked back on. A season changes fruit: common practice. */
enum { RECEIVED_LUCK_DAYS = 120 };

struct planning_received {
    struct intake_problem problem;
    /* days, markets, groups, products and demand; planning_group_text takes it */
    struct planning_case demand;
    const struct received *rules;
    const struct intake_use *told;        /* the problem's uses with the profile's shares */
    const struct intake_luck_use *learnt; /* by use */
    const struct received_did *past;      /* RECEIVED_LUCK_DAYS back, with today */
    const struct received_did
        *today; /* what was done today; the hours of machines are without it */
    int past_count, today_count;
};

/* Everything lives in the arena. The profile's house receives. PLAN_FIELD, errors of the store. */
MUST_USE struct result planning_received_read(struct store *s, const struct profile *p,
                                              int64_t now_ms, struct arena *a,
                                              struct planning_received *out);
/* seconds 0: made at once. */
MUST_USE struct result planning_received_make(struct arena *a, const struct planning_received *c,
                                              double seconds, const atomic_bool *stop,
                                              struct intake_outcome *out);

/* The plan of fruit taken last. */
struct planning_received_taken {
    bool given;
    int64_t entry, at_ms;
    json_t *flows; /* as planning_received_take sends them; the caller's */
};

MUST_USE struct result planning_received_taken(struct store *s,
                                               struct planning_received_taken *out);
/* What it gives as things stand now (plan/intake_follow.h), what was done of today since it was
 * taken not once more; none given: what comes if nothing is done. Of a short only line and pieces
 * say something. */
void planning_received_follow(struct arena *a, const struct planning_received *c,
                              const struct planning_received_taken *taken,
                              struct intake_outcome *out);
/* Of today, [{act, good, use|null, planned_g, done_g, left_g}], act: used, bought, sold, leaves:
 * what it tells to do, what was done since it was taken, and what is left of it; what was done
 * beside it is left with 0. Owned by the caller. */
json_t *planning_received_today(const struct planning_received *c,
                                const struct planning_received_taken *taken, struct arena *a);

/* {"kind":"received", "first_day", "days",
 *  "flows":[{day, act, good, use|null, of|null, g}]  act: comes, turned, bought, used, made,
 * leaves, sold; of a day in this order, "coming":[{day, good, of, booked, g, turned_g}],
 *  "buy":[{offer, good, day, order_by, g, cost, sentence}],
 *  "stores":[{store, unit, tanks|null, days:[{day, level_milli,
 * limit_milli|null, tanks|null}]}], "machines":[{machine, days:[{day, used_min, limit_min}]}],
 *  "supply":[{day, item, pieces, booked, forecast, short}], "demand": as of planning_json,
 *  "orders":[{order, item, group, day, pieces, met}],
 *  "shorts":[{order|null, item, group, day, pieces, limit, which|null, also, forecast,
 *    sentence}],
 *  "gains":[{limit, which, step_milli, unit, saved, met_g, sentence}],
 *  "counted":[{use, days, by_record, parts:[{good, ppm, told_ppm}], sentence}]  what uses are
 *    counted on to give, and what the profile says,
 *  "closed":[{day, what:[harvest|pack|dispatch], reason, sentence}],
 *  "sums": as of planning_received_sums,
 *  "cost", "by_solver", "solver", "solver_says", "bound"?, "gap"?}; owned by the caller. */
json_t *planning_received_json(const struct planning_received *c, const struct intake_outcome *x,
                               struct arena *a, const char *lang);
/* {wanted, met, booked, booked_met, short_orders: as of planning_sums; bought_g, turned_g, left_g,
 * sold_g, cost}. Owned by the caller. */
json_t *planning_received_sums(const struct planning_received *c, const struct intake_outcome *x,
                               struct arena *a);
/* How after differs from before: {"flows":[{day, act, good, use|null, of|null, before_g, after_g,
 * sentence}], "lines": as of planning_difference}; what is made follows from what is used and is
 * not among the flows, nor is what differs by less than a kilogram. Owned by the caller. */
json_t *planning_received_difference(const struct planning_received *before,
                                     const struct intake_outcome *was,
                                     const struct planning_received *after,
                                     const struct intake_outcome *is, struct arena *a,
                                     const char *lang);
/* The command {"kind":"plan-take","starts":[],"promises":[..],"flows":[..]}: what each order is
 * told, and what is done, in milligrams; uses by the day of birth of what they take ("born").
 * Owned by the caller. */
json_t *planning_received_take(const struct planning_received *c, const struct intake_outcome *x,
                               struct arena *a);

#endif
