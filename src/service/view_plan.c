#include "service/view_plan.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "service/planning_board.h"
#include "service/planning_change.h"
#include "service/planning_received.h"
#include "service/view_inner.h"

static struct result taken_json(struct view *v, int32_t today, json_t *out)
{
    struct statement *q = store_prepare(v->store, Q_PLANNING_TAKEN);
    store_bind_int(q, 1, today);
    for (bool row = true; row;) {
        TRY(store_step(q, &row));
        if (row) {
            const char *lot = store_text(q, 5);
            json_t *o =
                json_pack("{s:s,s:s,s:s,s:I,s:I,s:s?,s:b}", "day",
                          day_text(v->arena, (int32_t)store_int(q, 0)), "place", store_text(q, 1),
                          "item", store_text(q, 2), "seed_mg", (json_int_t)store_int(q, 3),
                          "grow_days", (json_int_t)store_int(q, 4), "seed_lot",
                          lot[0] != '\0' ? lot : NULL, "made", store_int(q, 6) != 0);
            CHECK(o != NULL);
            view_append(out, o);
        }
    }
    return RESULT_OK;
}

/* An order that is short was told two things: so much on its day, the rest later. */
static struct result promised_json(struct view *v, int32_t today, json_t *out)
{
    struct statement *q = store_prepare(v->store, Q_PLANNING_PROMISED);
    store_bind_int(q, 1, today);
    json_t *last = NULL;
    for (bool row = true; row;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        json_t *told = NULL;
        TRY(json_read_stored(store_text(q, 1), &told));
        const char *order = last != NULL ? json_string_value(json_object_get(last, "order")) : "";
        if (strcmp(order, store_text(q, 0)) != 0) {
            last = json_pack("{s:s,s:I,s:I,s:[]}", "order", store_text(q, 0), "entry",
                             (json_int_t)store_int(q, 2), "at_ms", (json_int_t)store_int(q, 3),
                             "told");
            CHECK(last != NULL);
            view_append(out, last);
        }
        view_append(json_object_get(last, "told"), told);
    }
    return RESULT_OK;
}

/* Nothing more is started in it, so no limit of the house is why it is short. */
static void say_shorts(struct view *v, json_t *plan, const char *why)
{
    size_t i;
    json_t *x;
    json_array_foreach(json_object_get(plan, "shorts"), i, x)
    {
        const char *pieces = arena_printf(
            v->arena, "%lld", (long long)json_integer_value(json_object_get(x, "pieces")));
        const char *says =
            SAY(v, "plan-short.line", json_string_value(json_object_get(x, "item")),
                json_string_value(json_object_get(x, "group")),
                json_string_value(json_object_get(x, "day")), pieces, SAY(v, why, NULL));
        json_object_set_new(x, "sentence", json_string(says));
        json_object_set_new(x, "limit", json_string("not-taken"));
    }
}

static struct result standing_json(struct view *v, json_t **out)
{
    struct planning_case *c = ARENA_NEW(v->arena, struct planning_case);
    struct plan_outcome outcome;
    struct planning_why why;
    struct result r = planning_read(v->store, v->warmth, v->profile, v->now_ms, v->arena, c);
    *out = json_null();
    if (r.code == CODE_PLAN_FIELD) {
        return RESULT_OK; /* no market, no chamber, no customer yet */
    }
    TRY(r);
    c->problem = planning_standing(&c->problem);
    TRY(planning_at_once(c, v->arena, &outcome));
    planning_seed(c, &outcome, v->profile, v->arena, &why);
    *out = planning_json(c, &outcome, v->arena, v->lang);
    planning_board(c, &outcome, &why, v->arena, v->lang, *out);
    say_shorts(v, *out, "short.not-taken");
    return RESULT_OK;
}

static struct result received_json(struct view *v, json_t **out)
{
    struct planning_received *c = ARENA_NEW(v->arena, struct planning_received);
    struct planning_received_taken taken;
    struct intake_outcome outcome;
    struct result r = planning_received_read(v->store, v->profile, v->now_ms, v->arena, c);
    *out = json_null();
    if (r.code == CODE_PLAN_FIELD) {
        return RESULT_OK; /* no place, no customer yet */
    }
    TRY(r);
    TRY(planning_received_taken(v->store, &taken));
    planning_received_follow(v->arena, c, &taken, &outcome);
    *out = planning_received_json(c, &outcome, v->arena, v->lang);
    json_object_set_new(*out, "today", planning_received_today(c, &taken, v->arena));
    json_decref(taken.flows);
    say_shorts(v, *out, "received.not-taken");
    json_object_set_new(*out, "taken",
                        taken.given ? json_pack("{s:I,s:I}", "entry", (json_int_t)taken.entry,
                                                "at_ms", (json_int_t)taken.at_ms)
                                    : json_null());
    return RESULT_OK;
}

struct result view_plan(struct view *v, json_t **out)
{
    int32_t today = view_day(v, v->now_ms);
    json_t *taken = json_array(), *promised = json_array(), *plan = json_null(),
           *received = json_null();
    bool receives = v->profile->planning.received.given;
    TRY(taken_json(v, today, taken));
    TRY(promised_json(v, today, promised));
    TRY(receives ? received_json(v, &received) : standing_json(v, &plan));
    *out = json_pack("{s:o,s:o,s:o,s:b,s:I,s:o,s:n}", "taken", taken, "promised", promised, "plan",
                     plan, "receives", receives, "service_ppm",
                     (json_int_t)v->profile->planning.service_ppm, "received", received, "job");
    CHECK(*out != NULL);
    return RESULT_OK;
}
