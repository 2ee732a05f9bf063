/* A planning problem from the record as it stands: orders, forecasts, chambers, seed, stock, what
 * grows; and its plan. */
#ifndef SERVICE_PLANNING_H
#define SERVICE_PLANNING_H

#include "plan/demand.h"
#include "plan/make.h"
#include "plan/margin.h"
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
};

/* Everything lives in the arena. PROFILE_MISSING, PLAN_FIELD, errors of the store. */
MUST_USE struct result planning_read(struct store *s, const struct profile *p, int64_t now_ms,
                                     struct arena *a, struct planning_case *out);

/* Makes its plan: at once with seconds 0, else improved for as long; stop may be NULL. The one
 * place where the service asks for a plan. */
MUST_USE struct result planning_make(const struct planning_case *c, double seconds,
                                     const atomic_bool *stop, struct arena *a,
                                     struct plan_outcome *out);
/* Stop within this share of the best that is possible: the yields themselves are far less certain
 * (common practice). */
#define PLANNING_GAP 0.001
/* plumule-solve beside the own program. */
const char *planning_solver(struct arena *a);

/* The plan as JSON:
 * {"first_day","starts":[..],"shorts":[..],"demand":[..],"supply":[..],"capacity":[..],"cost",
 * "bound"?,"gap"?,"solver"}, its sentences in a language of base/words.h; owned by the caller. */
json_t *planning_json(const struct planning_case *c, const struct plan_outcome *outcome,
                      struct arena *a, const char *lang);
/* Its parts day by day. supply: [{day, item, pieces (of what grows or is started), stock, booked,
 * forecast, short}], where something is wanted. capacity: [{day, chambers, starts, harvests:{used,
 * limit}, treat, soak, harvest, wash, pack:{used_g, limit_g}}], null where there is no limit. */
json_t *planning_supply_json(const struct planning_case *c, const struct plan_outcome *outcome,
                             struct arena *a);
json_t *planning_capacity_json(const struct planning_case *c, const struct plan_outcome *outcome,
                               struct arena *a);
/* A customer group as people call it. */
const char *planning_group_text(const struct planning_case *c, struct arena *a, const char *lang,
                                int group);
/* The command {"kind":"plan-take","starts":[..],"promises":[..]} for it; promises: of the rest of
 * short orders. Owned by the caller. */
json_t *planning_take(const struct planning_case *c, const struct plan_outcome *outcome,
                      const struct plan_promise *promises, int promise_count, struct arena *a);

#endif
