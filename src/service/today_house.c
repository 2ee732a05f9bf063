/* What chambers, the plan, instruments and places ask for. */
#include <string.h>

#include "base/civil.h"
#include "plan/explain.h"
#include "service/today.h"
#include "service/view_samples.h"

#define DAY_MS INT64_C(86400000)

static json_t *with_chamber(const struct view_chamber *c)
{
    json_t *o = today_with("chamber", c->place.code);
    if (c->run != NULL) {
        view_put(o, "lot", json_string(c->run->code));
    }
    return o;
}

static const char *harvest_sentence(const struct view *v, const struct view_chamber *c)
{
    const char *mass =
        SAY(v, "today.range", view_mass(v, c->yield.low_mg), view_mass(v, c->yield.high_mg));
    const char *clock = view_clock(v, c->ready_ms), *chamber = c->place.code;
    if (c->run->off_days != 0) {
        return SAY(v, "today.harvest-off", chamber,
                   plan_off_text(v->arena, v->lang, c->run->off_days), mass);
    }
    return c->ready_ms <= v->now_ms ? SAY(v, "today.harvest-now", chamber, clock, mass)
                                    : SAY(v, "today.harvest-later", chamber, clock, mass);
}

/* Ready, or meant by the plan to be cut, by the end of the day that is shown. */
static struct result add_harvest(struct today *t, struct view_histories *h, struct view_chamber *c)
{
    struct view *v = t->v;
    int64_t from_ms = t->day == t->now_day ? 0 : t->day_ms, due_ms = 0;
    if (c->crop != NULL) {
        TRY(chamber_due(v->profile, c->crop, c->run, v->now_ms, &due_ms));
    }
    if (due_ms == 0 || due_ms >= t->next_ms || due_ms < from_ms) {
        return RESULT_OK;
    }
    TRY(view_chamber_yield(v, h, c));
    today_add(t, &(struct today_line){.what = TODAY_HARVEST,
                                      .about = c->place.code,
                                      .place = c->place.code,
                                      .lot = c->run->code,
                                      .by_ms = due_ms,
                                      .tone = due_ms <= v->now_ms ? "due" : "waiting",
                                      .with = with_chamber(c),
                                      .sentence = harvest_sentence(v, c)});
    return RESULT_OK;
}

/* Where the profile says how long a chamber may stand without water. */
static struct result add_water(struct today *t, const struct view_chamber *c)
{
    struct limit limit;
    int64_t last_ms;
    if (profile_limit(t->v->profile, "watering-interval", c->run->item) == NULL) {
        return RESULT_OK;
    }
    TRY(limit_in_force(t->v->store, t->v->profile, "watering-interval", c->run->item, t->v->now_ms,
                       &limit));
    struct statement *q = store_prepare(t->v->store, Q_PAGE_WATERED_LAST);
    store_bind_int(q, 1, c->run->lot);
    TRY(view_first(q, c->run->start_ms, &last_ms));
    int64_t due_ms = last_ms + limit.high * 3600; /* 1/1000 h */
    if (limit.has_high && due_ms <= t->v->now_ms) {
        today_add(t,
                  &(struct today_line){.what = TODAY_WATER,
                                       .about = c->place.code,
                                       .place = c->place.code,
                                       .lot = c->run->code,
                                       .by_ms = due_ms,
                                       .with = with_chamber(c),
                                       .sentence = SAY(t->v, "today.water", c->place.code,
                                                       view_hours(t->v, t->v->now_ms - last_ms))});
    }
    return RESULT_OK;
}

static void add_clean(struct today *t, const struct view_chamber *c)
{
    today_add(
        t, &(struct today_line){.what = TODAY_CLEAN,
                                .about = c->place.code,
                                .place = c->place.code,
                                .with = today_with("place", c->place.code),
                                .sentence = c->emptied_ms != 0
                                                ? SAY(t->v, "today.clean", c->place.code,
                                                      view_clock(t->v, c->emptied_ms))
                                                : SAY(t->v, "today.clean-first", c->place.code)});
}

struct result today_chambers(struct today *t)
{
    struct view_chamber *list;
    size_t count;
    struct view_histories histories = view_histories_new(t->v);
    TRY(view_chambers_read(t->v, &list, &count));
    for (size_t i = 0; i < count; i++) {
        if (list[i].run != NULL) {
            TRY(add_harvest(t, &histories, &list[i]));
            if (t->day == t->now_day) {
                TRY(add_water(t, &list[i]));
            }
        } else if (t->day == t->now_day && strcmp(list[i].state, "to-clean") == 0) {
            add_clean(t, &list[i]);
        }
    }
    return RESULT_OK;
}

static bool was_started(const struct today *t, const struct chamber_run *runs, size_t count,
                        const char *place)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(runs[i].place, place) == 0 && view_day(t->v, runs[i].start_ms) == t->day) {
            return true;
        }
    }
    return false;
}

/* What the plan in force still means to start on the day. */
struct result today_plan(struct today *t)
{
    struct view *v = t->v;
    struct chamber_run *runs;
    size_t count;
    bool row, runs_read = false;
    struct statement *q = store_prepare(v->store, Q_PLANNING_TAKEN);
    store_bind_int(q, 1, t->day);
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (store_int(q, 0) != t->day) {
            continue;
        }
        if (!runs_read) {
            TRY(view_runs(v, &runs, &count));
            runs_read = true;
        }
        if (was_started(t, runs, count, store_text(q, 1))) {
            continue;
        }
        const char *place = arena_copy(v->arena, store_text(q, 1));
        const char *item = arena_copy(v->arena, store_text(q, 2));
        const char *seed = arena_copy(v->arena, store_text(q, 5));
        json_t *with = today_with("chamber", place);
        view_put(with, "item", json_string(item));
        today_add(t,
                  &(struct today_line){
                      .what = TODAY_START,
                      .about = place,
                      .place = place,
                      .lot = seed[0] != '\0' ? seed : NULL,
                      .with = with,
                      .sentence = SAY(v, "today.start", item, place, view_mass(v, store_int(q, 3)),
                                      seed[0] != '\0' ? seed : SAY(v, "today.any-seed", NULL))});
    }
}

struct result today_samples(struct today *t)
{
    struct view *v = t->v;
    json_t *o, *s;
    size_t i;
    TRY(view_samples_due(v, &o));
    json_array_foreach(json_object_get(o, "samples"), i, s)
    {
        int64_t due_ms = json_integer_value(json_object_get(s, "due_ms"));
        if (due_ms > v->now_ms) {
            continue;
        }
        const char *lot = arena_copy(v->arena, json_string_value(json_object_get(s, "lot")));
        const char *place = arena_copy(v->arena, json_string_value(json_object_get(s, "chamber")));
        int64_t wet_ms = json_integer_value(json_object_get(s, "wet_ms"));
        today_add(t, &(struct today_line){.what = TODAY_SAMPLE,
                                          .about = lot,
                                          .lot = lot,
                                          .place = place,
                                          .by_ms = due_ms,
                                          .with = today_with("lot", lot),
                                          .sentence = SAY(v, "today.sample", place, lot,
                                                          view_hours(v, v->now_ms - wet_ms))});
    }
    json_decref(o);
    return RESULT_OK;
}

static struct result instruments(struct today *t)
{
    struct view *v = t->v;
    struct statement *q = store_prepare(v->store, Q_TODAY_INSTRUMENTS);
    store_bind_int(q, 1, v->now_ms);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t due_ms = store_int(q, 3);
        if (due_ms > v->now_ms + v->profile->ahead.calibration_ms) {
            continue;
        }
        const char *code = arena_copy(v->arena, store_text(q, 0));
        bool late = due_ms <= v->now_ms;
        today_add(t,
                  &(struct today_line){
                      .what = TODAY_CALIBRATE,
                      .about = code,
                      .place = store_text(q, 2)[0] != '\0' ? arena_copy(v->arena, store_text(q, 2))
                                                           : NULL,
                      .by_ms = due_ms,
                      .tone = late ? "due" : "waiting",
                      .with = today_with("instrument", code),
                      .sentence = late ? SAY(v, "today.calibrate-late", code, view_clock(v, due_ms))
                                       : SAY(v, "today.calibrate", code, view_clock(v, due_ms))});
    }
}

static struct result environments(struct today *t)
{
    struct view *v = t->v;
    struct statement *q = store_prepare(v->store, Q_TODAY_ENVIRONMENTS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        const char *place = arena_copy(v->arena, store_text(q, 1));
        const char *since = view_clock(v, store_int(q, 3));
        json_t *with = today_with("place", place);
        view_put(with, "close", json_integer(store_int(q, 0)));
        bool holds = store_int(q, 2) != 0;
        today_add(t, &(struct today_line){.what = TODAY_ENVIRONMENT,
                                          .about = view_number(v, store_int(q, 0)),
                                          .place = place,
                                          .tone = holds ? "stopped" : "due",
                                          .with = with,
                                          .sentence =
                                              holds ? SAY(v, "today.environment-held", place, since)
                                                    : SAY(v, "today.environment", place, since)});
    }
}

/* What is owed, and what was told and not booked, has lines of its own. */
static struct result tasks(struct today *t)
{
    struct view *v = t->v;
    struct statement *q = store_prepare(v->store, Q_TODAY_TASKS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        const char *kind = store_text(q, 1);
        if (list_has("explain-owed,set-aside", kind)) {
            continue;
        }
        const char *what = arena_copy(v->arena, store_text(q, 2)),
                   *lot = arena_copy(v->arena, store_text(q, 3)),
                   *place = arena_copy(v->arena, store_text(q, 4));
        const char *title = words_of(v->arena, v->lang, "task.", kind, kind);
        const char *about = place[0] != '\0' ? place : lot[0] != '\0' ? lot : what;
        bool recall = strcmp(kind, "recall-decision") == 0;
        json_t *with = today_with("code", recall ? lot : NULL);
        view_put(with, "task", json_integer(store_int(q, 0)));
        today_add(t, &(struct today_line){
                         .what = recall ? TODAY_RECALL : TODAY_TASK,
                         .about = view_number(v, store_int(q, 0)),
                         .lot = lot[0] != '\0' ? lot : NULL,
                         .place = place[0] != '\0' ? place : NULL,
                         .by_ms = store_int(q, 5),
                         .role = recall ? NULL : profile_told(v->profile, kind),
                         .with = with,
                         .sentence = strcmp(about, what) == 0
                                         ? SAY(v, "today.task", title, about)
                                         : SAY(v, "today.task-about", title, about, what)});
    }
}

struct result today_house(struct today *t)
{
    TRY(instruments(t));
    TRY(environments(t));
    return tasks(t);
}
