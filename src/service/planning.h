/* A planning problem from the record as it stands: orders, forecasts, chambers, seed, stock, what
 * grows; and its plan. */
#ifndef SERVICE_PLANNING_H
#define SERVICE_PLANNING_H

#include "plan/demand.h"
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

/* Stop within this share of the best that is possible: the yields themselves are far less certain
 * (common practice). */
#define PLANNING_GAP 0.005
/* plumule-solve beside the own program. */
const char *planning_solver(struct arena *a);

/* A plan with safety: service 0 for the least cost, else the share of what is wanted that is to be
 * met. options as in plan_make. PLAN_FIELD. */
MUST_USE struct result planning_choose(struct arena *a, const struct planning_case *c,
                                       double service, const struct improve_options *options,
                                       struct safety_choice *out);
/* {"futures", "share_ppm" of all that is wanted, "share_error_ppm", "short_g", "waste_g", "cost",
 * "cost_error", "safety":[{item, milli}], "lines":[{order|null, item, group, day, pieces, met_ppm,
 * share_ppm, word, sentence}]}, for the plan's "chance"; owned by the caller. word: "certain",
 * "likely", "open", "doubtful" or "unlikely". */
json_t *planning_chance_json(const struct planning_case *c, const struct safety_choice *choice,
                             struct arena *a, const char *lang);

/* The plan as JSON:
 * {"first_day","starts":[..],"shorts":[..],"demand":[..],"supply":[..],"capacity":[..],"cost",
 * "bound"?,"gap"?,"solver"}, its sentences in a language of base/words.h; owned by the caller. */
json_t *planning_json(const struct planning_case *c, const struct plan_outcome *outcome,
                      struct arena *a, const char *lang);
/* How a group is called: "retail, market EU". */
const char *planning_group_text(const struct planning_case *c, struct arena *a, const char *lang,
                                int group);
/* Its parts day by day. supply: [{day, item, pieces (of what grows or is started), stock, booked,
 * forecast, short}], where something is wanted. capacity: [{day, chambers, starts, harvests:{used,
 * limit}, treat, soak, harvest, wash, pack:{used_g, limit_g}}], null where there is no limit. */
json_t *planning_supply_json(const struct planning_case *c, const struct plan_outcome *outcome,
                             struct arena *a);
json_t *planning_capacity_json(const struct planning_case *c, const struct plan_outcome *outcome,
                               struct arena *a);
/* The command {"kind":"plan-take","starts":[..]} for it; owned by the caller. */
json_t *planning_take(const struct planning_case *c, const struct plan_outcome *outcome,
                      struct arena *a);

#endif
