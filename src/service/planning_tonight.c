/* The starts of the first open evening, rehearsed: in the plan, and said in words. */
#include <math.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "base/words.h"
#include "service/planning_inner.h"

static const struct tonight_known *known_of(struct arena *a, const struct plan_problem *o)
{
    struct tonight_known *known =
        ARENA_ARRAY(a, struct tonight_known, (size_t)o->running_count + 1);
    for (int i = 0; i < o->running_count; i++) {
        const struct plan_running *x = &o->running[i];
        known[i] = (struct tonight_known){x->harvest_day <= PLANNING_DAYS_SURE, true};
        for (int m = 0; m < o->market_count; m++) {
            known[i].passed &= (x->markets >> m & 1) == 0 || x->ready_day[m] == 0;
        }
    }
    return known;
}

/* Does the share of service that is asked for take more cover than the least cost does? */
static struct result takes_more(struct arena *a, const struct planning_case *c,
                                const struct planning_ask *ask, const struct safety *safety,
                                bool *out)
{
    struct safety_wish wish = {.least = c->least_level, .trial_futures = SAFETY_TRIALS};
    struct safety cheapest;
    *out = false;
    if (ask->service <= 0) {
        return RESULT_OK;
    }
    TRY(safety_levels(a, &c->problem, &c->model, &wish, &cheapest, NULL));
    for (int k = 0; k < c->problem.crop_count; k++) {
        *out = *out || safety->level[k] > cheapest.level[k];
    }
    return RESULT_OK;
}

static int kept(const struct plan_outcome *x)
{
    int count = 0;
    for (int i = 0; i < x->start_count; i++) {
        count += x->starts[i].taken != PLAN_NONE;
    }
    return count;
}

/* Do starts that are taken and would no longer be made cost more than is saved? */
static struct result loses_more(struct arena *a, const struct plan_outcome *at_once,
                                const struct imposed *imposed, const struct tonight *found,
                                bool *out)
{
    struct plan_outcome with;
    double saved = 0;
    TRY(plan_make(a, imposed->p, NULL, &with));
    impose_tell(a, imposed, &with);
    for (int k = 0; k < imposed->p->crop_count; k++) {
        saved += found->crops[k].saved;
    }
    *out = imposed->p->change_cost * (kept(at_once) - kept(&with)) > saved;
    return RESULT_OK;
}

struct result planning_rehearse(struct arena *a, const struct planning_case *c,
                                const struct planning_ask *ask, const struct safety *safety,
                                struct imposed *out, const struct tonight **tonight)
{
    const struct plan_problem *q = safety_problem(a, &c->problem, &c->model, safety);
    *out = (struct imposed){q, q, PLAN_NONE, NULL};
    *tonight = NULL;
    bool more;
    TRY(takes_more(a, c, ask, safety, &more));
    if (more || q->frozen_days >= q->day_count) {
        return RESULT_OK; /* more cover than costs least is no matter of the least cost */
    }
    struct plan_outcome at_once;
    TRY(plan_make(a, q, NULL, &at_once));
    struct tonight *found = ARENA_NEW(a, struct tonight);
    struct tonight_ask rehearsal = {.p = &c->problem,
                                    .model = &c->model,
                                    .safety = safety,
                                    .planned = at_once.starts,
                                    .planned_count = at_once.start_count,
                                    .sales = at_once.sales,
                                    .sale_count = at_once.sale_count,
                                    .running = known_of(a, &c->problem),
                                    .future_count = TONIGHT_FUTURES,
                                    .stop = ask->stop};
    tonight_choose(a, &rehearsal, found);
    if (!found->is_done ||
        (found->is_changed && !impose(a, q, found->starts, found->start_count, out))) {
        return RESULT_OK;
    }
    bool loses = false;
    if (found->is_changed) {
        TRY(loses_more(a, &at_once, out, found, &loses));
    }
    if (loses) {
        *out = (struct imposed){q, q, PLAN_NONE, NULL};
        return RESULT_OK;
    }
    *tonight = found;
    return RESULT_OK;
}

static const char *amount(struct arena *a, const char *lang, int chambers, double seed_kg)
{
    const char *kg = mass_text(a, llround(seed_kg * 1000) * 1000, 0);
    return chambers == 0 ? WORDS(a, lang, "plan.tonight.none", NULL)
           : chambers == 1
               ? WORDS(a, lang, "plan.tonight.one", kg)
               : WORDS(a, lang, "plan.tonight.many", arena_printf(a, "%d", chambers), kg);
}

static bool is_other(const struct tonight_crop *x)
{
    return x->count != x->planned_count || fabs(x->seed_kg - x->planned_seed_kg) > 1e-6;
}

static const char *sentence(struct arena *a, const char *lang, const char *item, const char *day,
                            const struct tonight_crop *x)
{
    const char *now = amount(a, lang, x->count, x->seed_kg),
               *planned = amount(a, lang, x->planned_count, x->planned_seed_kg),
               *futures = arena_printf(a, "%d", x->future_count);
    return is_other(x) ? WORDS(a, lang, "plan.tonight.other", day, item, now, planned, futures,
                               decimal_text(a, llround(x->saved * 10), 1, false),
                               decimal_text(a, llround(x->saved_error * 10), 1, false))
                       : WORDS(a, lang, "plan.tonight.same", day, item, now, futures);
}

json_t *planning_rehearsed_json(const struct planning_case *c, const struct safety_choice *choice,
                                struct arena *a, const char *lang)
{
    json_t *list = json_array();
    for (int k = 0; choice->tonight != NULL && k < c->problem.crop_count; k++) {
        const struct tonight_crop *x = &choice->tonight->crops[k];
        const char *item = c->problem.crops[k].code;
        int32_t day = c->problem.first_day + choice->tonight->day;
        if (!x->is_rehearsed) {
            continue;
        }
        json_t *o = json_pack("{s:s,s:s,s:i,s:i,s:I,s:I,s:f,s:f,s:i,s:s}", "item", item, "day",
                              day_text(a, day), "planned", x->planned_count, "starts", x->count,
                              "planned_g", (json_int_t)llround(x->planned_seed_kg * 1000), "seed_g",
                              (json_int_t)llround(x->seed_kg * 1000), "saved", x->saved,
                              "saved_error", x->saved_error, "futures", x->future_count, "sentence",
                              sentence(a, lang, item, words_day(a, lang, day), x));
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
    return list;
}
