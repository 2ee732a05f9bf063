#include "service/view_chambers.h"

#include <string.h>

#include "base/check.h"
#include "ledger/evidence.h"
#include "service/story.h"
#include "service/view_inner.h"
#include "service/view_log.h"

static struct result read_idle(const struct view *v, struct view_chamber *c)
{
    struct statement *q = store_prepare(v->store, Q_PAGE_CHAMBER_IDLE);
    store_bind_text(q, 1, c->place.code);
    store_bind_int(q, 2, v->now_ms);
    bool row;
    TRY(store_step(q, &row));
    c->emptied_ms = store_int(q, 0);
    bool clean = store_int(q, 1) >= c->emptied_ms && store_int(q, 1) != 0;
    c->state = !c->place.in_service ? "out-of-service" : clean ? "empty" : "to-clean";
    return told_finish(q, row);
}

struct result view_runs(const struct view *v, struct chamber_run **out, size_t *out_count)
{
    struct chamber_ask ask = view_chamber_ask(v);
    return chamber_runs(&ask, out, out_count);
}

struct chamber_ask view_chamber_ask(const struct view *v)
{
    return (struct chamber_ask){.store = v->store,
                                .kept = v->warmth,
                                .profile = v->profile,
                                .now_ms = v->now_ms,
                                .arena = v->arena};
}

struct view_histories view_histories_new(const struct view *v)
{
    size_t crops = v->profile->crop_count;
    return (struct view_histories){.crops = ARENA_ARRAY(v->arena, const struct crop *, crops + 1),
                                   .list = ARENA_ARRAY(v->arena, struct yield_history, crops + 1)};
}

static struct result history_of(const struct view *v, struct view_histories *h,
                                const struct crop *crop, struct yield_history *out)
{
    for (size_t i = 0; i < h->count; i++) {
        if (h->crops[i] == crop) {
            *out = h->list[i];
            return RESULT_OK;
        }
    }
    TRY(chamber_history(v->store, v->profile, crop, out));
    h->crops[h->count] = crop;
    h->list[h->count++] = *out;
    return RESULT_OK;
}

struct result view_chamber_yield(const struct view *v, struct view_histories *h,
                                 struct view_chamber *c)
{
    struct yield_history history;
    if (c->crop != NULL) {
        TRY(history_of(v, h, c->crop, &history));
        TRY(chamber_yield(v->profile, c->run, c->crop, &history, v->now_ms, &c->yield));
    }
    return RESULT_OK;
}

static struct result read_run(const struct view *v, struct view_chamber *c,
                              const struct chamber_run *run)
{
    c->run = run;
    c->crop = profile_crop(v->profile, run->item);
    c->state = v->now_ms < run->start_ms + v->profile->planning.lead_ms ? "soaking" : "growing";
    if (c->crop == NULL) {
        return RESULT_OK;
    }
    TRY(chamber_ready(c->crop, &run->warmth, &c->ready_ms));
    TRY(chamber_later_days(v->profile, c->crop, run, &c->later_days));
    c->state = c->ready_ms != 0 && c->ready_ms <= v->now_ms ? "ready" : c->state;
    return RESULT_OK;
}

static struct result read_places(const struct view *v, struct view_chamber **out, size_t *out_count)
{
    struct statement *q = store_prepare(v->store, Q_PLACE_ALL);
    bool row;
    *out = NULL;
    *out_count = 0;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (strcmp(store_text(q, 2), "chamber") == 0) {
            struct view_chamber *c = evidence_grow(v->arena, out, out_count, sizeof **out);
            c->place = (struct place){.code = arena_copy(v->arena, store_text(q, 0)),
                                      .name = arena_copy(v->arena, store_text(q, 1)),
                                      .kind = "chamber",
                                      .in_service = store_int(q, 6) != 0};
        }
    }
}

struct result view_chambers_read(const struct view *v, struct view_chamber **out, size_t *out_count)
{
    struct chamber_run *runs;
    size_t run_count;
    TRY(view_runs(v, &runs, &run_count));
    TRY(read_places(v, out, out_count));
    for (size_t i = 0; i < *out_count; i++) {
        struct view_chamber *c = &(*out)[i];
        const struct chamber_run *run = NULL;
        for (size_t k = 0; k < run_count; k++) {
            run = strcmp(runs[k].place, c->place.code) == 0 ? &runs[k] : run;
        }
        TRY(run != NULL ? read_run(v, c, run) : read_idle(v, c));
    }
    return RESULT_OK;
}

static const char *tone_of(const struct view_chamber *c)
{
    if (c->run != NULL && c->run->held > 0) {
        return "stopped";
    }
    bool due = strcmp(c->state, "ready") == 0 || strcmp(c->state, "to-clean") == 0;
    bool done = strcmp(c->state, "empty") == 0;
    return due ? "due" : done ? "done" : "waiting";
}

struct result view_chamber_json(const struct view *v, const struct view_chamber *c, json_t **out)
{
    const struct chamber_run *r = c->run;
    const struct chamber_run none = {0};
    bool grows = r != NULL, known = grows && c->crop != NULL;
    struct view_log_point last;
    bool measured;
    TRY(view_log_last(v, c->place.code, &last, &measured));
    const char *reckoned =
        c->ready_ms != 0 ? warmth_says(v->arena, v->lang, &r->warmth, c->later_days, v->now_ms)
                         : NULL;
    r = grows ? r : &none;
    *out = json_pack(
        "{s:s,s:s,s:s,s:s,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:o,s:I}", "place",
        c->place.code, "name", c->place.name, "tone", tone_of(c), "state", c->state, "lot",
        view_text(r->code), "item", view_text(r->item), "start_ms", view_int(grows, r->start_ms),
        "age_h", view_int(grows, (v->now_ms - r->start_ms) / 3600000), "ready_ms",
        view_int(c->ready_ms != 0, c->ready_ms), "reckoned", view_text(reckoned), "later_days",
        view_int(c->ready_ms != 0, c->later_days), "seed_mg", view_int(grows, r->seed_mg),
        "expected_mg", view_int(known, c->yield.mg), "expected_low_mg",
        view_int(known, c->yield.low_mg), "expected_high_mg", view_int(known, c->yield.high_mg),
        "share_left_ppm", view_int(grows, 1000000 - r->shares_ppm), "temp_mc",
        view_int(measured, last.temp_mc), "temp_ms", view_int(measured, last.t_ms), "holds",
        (json_int_t)r->held);
    CHECK(*out != NULL);
    return RESULT_OK;
}

struct result view_chambers(struct view *v, json_t **out)
{
    struct view_chamber *list;
    size_t count;
    struct view_histories histories = view_histories_new(v);
    TRY(view_chambers_read(v, &list, &count));
    json_t *chambers = json_array();
    for (size_t i = 0; i < count; i++) {
        json_t *one = NULL;
        struct result r = view_chamber_yield(v, &histories, &list[i]);
        if (r.code == CODE_OK) {
            r = view_chamber_json(v, &list[i], &one);
        }
        if (r.code != CODE_OK) {
            json_decref(chambers);
            return r;
        }
        view_append(chambers, one);
    }
    *out = json_pack("{s:o}", "chambers", chambers);
    CHECK(*out != NULL);
    return RESULT_OK;
}
