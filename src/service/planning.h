/* A planning problem from the record as it stands: orders, forecasts, chambers, seed, stock, what
 * grows; and its plan. */
#ifndef SERVICE_PLANNING_H
#define SERVICE_PLANNING_H

#include "plan/demand.h"
#include "plan/margin.h"
#include "plan/safety.h"
#include "service/plant.h"

struct planning_names {
    const char **items;  /* packed items, by product index */
    const char **groups; /* "retail"; several may have the same, in other markets */
    size_t item_count, group_count;
};

struct planning_case {
    struct plan_problem problem;
    struct demand demand;
    struct planning_names names;
    int32_t history_from, history_to; /* 0, 0: no order history */
    struct chance_model model;        /* what the record says of how things go otherwise */
    double least_level;               /* of safety: the profile's caution */
};

/* Everything lives in the arena. PROFILE_MISSING, PLAN_FIELD, errors of the store. */
MUST_USE struct result planning_read(struct store *s, const struct profile *p, int64_t now_ms,
                                     struct arena *a, struct planning_case *out);

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
 * share_ppm, word, sentence}]}, for the plan's "chance"; owned by the caller. word: "certain",
 * "likely", "open", "doubtful" or "unlikely". */
json_t *planning_chance_json(const struct planning_case *c, const struct safety_choice *choice,
                             struct arena *a, const char *lang);
/* The same as the plan's "chance", and each order's "chance_percent" beside it. */
void planning_chance_put(const struct planning_case *c, const struct safety_choice *choice,
                         struct arena *a, const char *lang, json_t *plan);

/* The plan as JSON:
 * {"first_day","starts":[..],"shorts":[..],"demand":[..],"supply":[..],"capacity":[..],
 * "instead":[{order|null, item, group, day, given, pieces, sentence}],"cost",
 * "bound"?,"gap"?,"solver"}, its sentences in a language of base/words.h; owned by the caller. */
json_t *planning_json(const struct planning_case *c, const struct plan_outcome *outcome,
                      struct arena *a, const char *lang);
/* [{item, group, day, booked, forecast_added, spread}], where something is wanted. */
json_t *planning_demand_json(const struct planning_case *c, struct arena *a, const char *lang);
/* Its parts day by day. supply: [{day, item, pieces (of what grows or is started), stock, booked,
 * forecast, short}], where something is wanted. capacity: [{day, chambers, starts, harvests:{used,
 * limit}, treat, soak, harvest, wash, pack:{used_g, limit_g}, works:[{name, used_milli,
 * limit_milli}]}], null where there is no limit; works as the profile has them, each in its own
 * unit. */
json_t *planning_supply_json(const struct planning_case *c, const struct plan_outcome *outcome,
                             struct arena *a);
json_t *planning_capacity_json(const struct planning_case *c, const struct plan_outcome *outcome,
                               struct arena *a);
/* What is given for a line in place of what it orders, by item: [{given, pieces, sentence}]. */
json_t *planning_instead_json(const struct planning_case *c, const struct plan_outcome *outcome,
                              int line, struct arena *a, const char *lang);
/* A customer group as people call it. */
const char *planning_group_text(const struct planning_case *c, struct arena *a, const char *lang,
                                int group);
/* The command {"kind":"plan-take","starts":[..],"promises":[..]} for it; promises: of the rest of
 * short orders. Owned by the caller. */
json_t *planning_take(const struct planning_case *c, const struct plan_outcome *outcome,
                      const struct plan_promise *promises, int promise_count, struct arena *a);

#endif
