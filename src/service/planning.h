/* A planning problem from the record as it stands: orders, forecasts, chambers, seed, stock, what
 * grows; and its plan. */
#ifndef SERVICE_PLANNING_H
#define SERVICE_PLANNING_H

#include "plan/demand.h"
#include "plan/margin.h"
#include "plan/tonight.h"
#include "service/plant.h"
#include "service/warmth.h"

struct planning_names {
    const char **items;  /* packed items, by product index */
    const char **groups; /* "retail"; several may have the same, in other markets */
    size_t item_count, group_count;
};

/* What of enum closes (ledger/profile.h) is not done on a day, as bits. */
struct planning_closed {
    unsigned what;
    const char *reason; /* NULL: open */
};

/* A start taken for a day on which nothing is soaked: left out. */
struct planning_left {
    int day, chamber, crop;
};

/* A result that is tested again, so that goods wait for it longer. */
struct planning_retest {
    const char *lot, *markets; /* markets: comma list */
    int harvest_day;           /* of the plan; below 0: harvested already */
    int from_day, to_day;      /* goods could leave, and may: without a look at their harvest */
    bool is_known;             /* the profile says how long it takes */
};

/* A delivery agreed and awaited. */
struct planning_agreed {
    const char *code, *item, *supplier;
    int32_t day;                  /* calendar: on which it comes */
    double kg, whole_kg;          /* still to come; in all */
    int64_t pieces, whole_pieces; /* the same of one agreed by the piece; 0: by mass */
    int from_day; /* of the plan: usable then; PLAN_NONE: not counted on, being late, of no item
                     that the plan uses, or more than it takes */
    int seed_lot; /* in the problem; PLAN_NONE: no seed */
};

/* From what a running lot's day is reckoned. */
struct planning_warmth {
    struct warmth warmth;
    int later_days; /* than at the set point; below 0: sooner */
};

struct planning_case {
    struct plan_problem problem;
    int64_t now_ms;
    const struct planning_warmth *warmth; /* by running lot */
    const struct planning_closed *closed; /* by day */
    const struct planning_left *left;
    int left_count;
    const struct planning_agreed *agreed;
    int agreed_count;
    const struct planning_retest *retests;
    int retest_count;
    struct demand demand;
    struct planning_names names;
    int32_t history_from, history_to; /* 0, 0: no order history */
    struct chance_model model;        /* what the record says of how things go otherwise */
    double least_level;               /* of safety: the profile's caution */
    double change_cost; /* of a start taken and not kept; the problem's may be more, to keep it */
    const double *piece_kg; /* by ingredient of the problem: what one weighs that is bought by the
                               piece; 0: bought by mass */
};

/* Everything lives in the arena. kept: of logs; NULL: nothing is kept. PROFILE_MISSING, PLAN_FIELD,
 * errors of the store. */
MUST_USE struct result planning_read(struct store *s, struct warmth_kept *kept,
                                     const struct profile *p, int64_t now_ms, struct arena *a,
                                     struct planning_case *out);

/* What a plan made at once gives, on the yields planned with and without safety: to look what
 * starts that are given bring. */
MUST_USE struct result planning_at_once(const struct planning_case *c, struct arena *a,
                                        struct plan_outcome *out);
/* Stop within this share of the best that is possible: the yields themselves are far less certain
 * (common practice). */
#define PLANNING_GAP 0.001
/* plumule-solve beside the own program. */
const char *planning_solver(struct arena *a);

struct planning_ask {
    double seconds;          /* to improve it; 0: made at once */
    double service;          /* share of what is wanted that is to be met; 0: the least cost */
    const atomic_bool *stop; /* may be NULL */
    /* While it works, at most once a second, the best plan so far; it and the arena are gone after
     * the call. NULL: nobody listens. */
    void (*tell)(void *self, const struct safety_choice *choice, struct arena *a);
    void *self;
};

/* A plan with safety: the one place where the service asks for one. PLAN_FIELD. */
MUST_USE struct result planning_choose(struct arena *a, const struct planning_case *c,
                                       const struct planning_ask *ask, struct safety_choice *out);
/* {"futures", "share_ppm" of all that is wanted, "share_error_ppm", "short_g", "waste_g", "cost",
 * "cost_error", "safety":[{item, milli}], "lines":[{order|null, item, group, day, pieces, met_ppm,
 * share_ppm, word, sentence, standing|null, late_days, late_met_ppm, late_share_ppm}], "late_g"},
 * for the plan's "chance"; owned by the caller. met and share: on the line's day; late_...: within
 * the late_days it is taken late. word: "certain", "likely", "open", "doubtful" or "unlikely". */
json_t *planning_chance_json(const struct planning_case *c, const struct safety_choice *choice,
                             struct arena *a, const char *lang);
/* The same as the plan's "chance", what was rehearsed as its "rehearsed", and each order's
 * "chance_percent" beside it, with "late_percent" where it is taken late, and "chance_says" where
 * the plan leaves it short and at least half of the futures meet it. */
void planning_chance_put(const struct planning_case *c, const struct safety_choice *choice,
                         struct arena *a, const char *lang, json_t *plan);

/* [{item, day, planned, starts, planned_g, seed_g, saved, saved_error, futures, sentence}]: what
 * was rehearsed of the first open evening, by crop; seed of all its starts. Owned by the caller. */
json_t *planning_rehearsed_json(const struct planning_case *c, const struct safety_choice *choice,
                                struct arena *a, const char *lang);

/* The plan as JSON:
 * {"first_day","starts":[..],"shorts":[..],"demand":[..],"supply":[..],"capacity":[..],
 * "instead":[{order|null, item, group, day, given, pieces, sentence}],"cost",
 * "bound"?,"gap"?,"solver","solver_says"}, its sentences in a language of base/words.h; owned by
 * the caller. */
json_t *planning_json(const struct planning_case *c, const struct plan_outcome *outcome,
                      struct arena *a, const char *lang);
/* Why the solver brought nothing, as a sentence; null: it did. Owned by the caller. */
json_t *planning_solver_says(const struct result *solver, struct arena *a, const char *lang);
/* [{item, group, day, booked, forecast_added, spread}], where something is wanted. */
json_t *planning_demand_json(const struct planning_case *c, struct arena *a, const char *lang);
/* Its parts day by day. supply: [{day, item, pieces (of what grows or is started), stock, booked,
 * standing, forecast, short}], where something is wanted. capacity: [{day, chambers, starts,
 * harvests:{used, limit}, treat, soak, harvest, wash, pack:{used_g, limit_g}, works:[{name,
 * used_milli, limit_milli}], closed}], null where there is no limit; closed as
 * planning_closed_json; works as the profile has them, each in its own unit. */
json_t *planning_supply_json(const struct planning_case *c, const struct plan_outcome *outcome,
                             struct arena *a);
json_t *planning_capacity_json(const struct planning_case *c, const struct plan_outcome *outcome,
                               struct arena *a, const char *lang);
/* [{lot, markets, from, to, sentence}]: results that are tested again, and from which day on the
 * lot's goods could leave, and may; to null where the profile does not say how long it takes. */
json_t *planning_retests_json(const struct planning_case *c, struct arena *a, const char *lang);
/* A seed lot of the problem by its code; NULL: it is only agreed, and no lot yet. */
const char *planning_seed_lot(const struct planning_case *c, int lot);
/* What is given for a line in place of what it orders, by item: [{given, pieces, sentence}]. */
json_t *planning_instead_json(const struct planning_case *c, const struct plan_outcome *outcome,
                              int line, struct arena *a, const char *lang);
/* {what: ["soak", ..], reason, sentence}, null where what is 0; owned by the caller. */
json_t *planning_closed_json(struct arena *a, const char *lang, int32_t day, unsigned what,
                             const char *reason);
/* "soaking, dispatch" */
const char *planning_closed_what(struct arena *a, const char *lang, unsigned what);
/* The day for which a line is wanted, where it leaves earlier because nothing is dispatched then;
 * NULL: the day it leaves. */
const char *planning_wanted_day(const struct planning_case *c, struct arena *a, int line);
/* The line's order in the book; NULL: a forecast or a standing order. */
const char *planning_order(const struct planning_case *c, int line);
/* Who it is for as people call them, and the standing order it is of. */
const char *planning_for_text(const struct planning_case *c, struct arena *a, const char *lang,
                              int line);
/* A customer group as people call it. */
const char *planning_group_text(const struct planning_case *c, struct arena *a, const char *lang,
                                int group);
/* The command {"kind":"plan-take","starts":[..],"promises":[..]} for it; promises: of the rest of
 * short orders. Owned by the caller. */
json_t *planning_take(const struct planning_case *c, const struct plan_outcome *outcome,
                      const struct plan_promise *promises, int promise_count, struct arena *a);

#endif
