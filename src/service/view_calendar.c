#include "service/view_calendar.h"

#include <string.h>

#include "base/check.h"
#include "ledger/evidence.h"
#include "service/view_inner.h"

enum { WAITING_BACK_DAYS = 30 };
#define DAY_MS INT64_C(86400000)

static bool meant(const char *markets, const struct market *m)
{
    return markets[0] == '\0' || list_has(markets, m->name);
}

/* What each market of the batch asks for; *out_least: how many samples the strictest wants. */
static json_t *wants_json(const struct view *v, const char *markets, int64_t *out_age_ms,
                          int64_t *out_least)
{
    json_t *rows = json_array();
    *out_age_ms = *out_least = 0;
    for (size_t i = 0; i < v->profile->market_count; i++) {
        const struct market *m = &v->profile->markets[i];
        if (!meant(markets, m)) {
            continue;
        }
        json_t *organisms = json_array();
        for (size_t k = 0; k < m->organism_count; k++) {
            view_append(organisms, json_string(m->organisms[k].organism));
        }
        *out_age_ms = m->min_age_ms > *out_age_ms ? m->min_age_ms : *out_age_ms;
        *out_least = m->samples > *out_least ? m->samples : *out_least;
        view_append(rows,
                    json_pack("{s:s,s:o,s:I,s:I,s:o,s:I,s:o,s:s}", "market", m->name, "what",
                              view_list(m->what), "samples", (json_int_t)m->samples, "volume_ml",
                              (json_int_t)m->volume_ml, "locations", view_list(m->locations),
                              "min_age_ms", (json_int_t)m->min_age_ms, "organisms", organisms,
                              "source", m->source->title));
    }
    return rows;
}

struct drawn {
    int64_t id;
    const char *code;
    json_t *row; /* borrowed from the list */
};

static struct result put_findings(const struct view *v, const struct drawn *s)
{
    json_t *rows = json_array();
    view_put(s->row, "findings", rows);
    struct statement *q = store_prepare(v->store, Q_CALENDAR_FINDINGS);
    store_bind_int(q, 1, s->id);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        view_append(rows, json_pack("{s:s,s:s,s:I}", "organism", store_text(q, 0), "state",
                                    store_text(q, 1), "at_ms", (json_int_t)store_int(q, 2)));
    }
}

static struct result put_custody(const struct view *v, const struct drawn *s)
{
    json_t *rows = json_array();
    view_put(s->row, "custody", rows);
    struct statement *q = store_prepare(v->store, Q_CALENDAR_CUSTODY);
    store_bind_text(q, 1, s->code);
    for (;;) {
        bool row;
        json_t *data = NULL;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        TRY(json_read_stored(store_text(q, 2), &data));
        json_t *temp = json_object_get(data, "temp_mc"), *seal = json_object_get(data, "seal");
        view_append(rows,
                    json_pack("{s:I,s:b,s:O,s:o,s:o}", "at_ms", (json_int_t)store_int(q, 0), "ok",
                              (int)(store_int(q, 1) != 0), "to", json_object_get(data, "to"),
                              "temp_mc", temp != NULL ? json_incref(temp) : json_null(), "seal",
                              seal != NULL ? json_incref(seal) : json_null()));
        json_decref(data);
    }
}

/* The samples of a batch. *out_counted: of those old enough. */
static struct result put_samples(const struct view *v, int64_t lot, int64_t age_ms, json_t *batch,
                                 int64_t *out_counted)
{
    struct drawn *list = NULL;
    size_t count = 0;
    json_t *rows = json_array();
    view_put(batch, "samples", rows);
    *out_counted = 0;
    struct statement *q = store_prepare(v->store, Q_CALENDAR_SAMPLES);
    store_bind_int(q, 1, lot);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        int64_t at_age_ms = store_int(q, 5);
        json_t *o = json_pack("{s:s,s:s,s:s,s:I,s:o,s:I,s:I}", "sample", store_text(q, 1),
                              "location", store_text(q, 2), "what", store_text(q, 3), "taken_ms",
                              (json_int_t)store_int(q, 4), "age_ms",
                              view_int(at_age_ms >= 0, at_age_ms), "volume_ml",
                              (json_int_t)store_int(q, 6), "entry", (json_int_t)store_int(q, 7));
        struct drawn *s = evidence_grow(v->arena, &list, &count, sizeof *list);
        *s = (struct drawn){
            .id = store_int(q, 0), .code = arena_copy(v->arena, store_text(q, 1)), .row = o};
        *out_counted += at_age_ms >= age_ms;
        view_append(rows, o);
    }
    for (size_t i = 0; i < count; i++) {
        TRY(put_findings(v, &list[i]));
        TRY(put_custody(v, &list[i]));
    }
    return RESULT_OK;
}

static struct result put_batch(const struct view *v, const struct chamber_run *run, json_t *rows)
{
    const struct profile *p = v->profile;
    const struct crop *crop = profile_crop(p, run->item);
    int64_t age_ms, least, counted, harvest_ms = 0;
    json_t *wants = wants_json(v, run->markets, &age_ms, &least);
    json_t *o = json_pack("{s:s,s:s,s:s,s:I,s:o,s:o}", "lot", run->code, "chamber", run->place,
                          "item", run->item, "wet_ms", (json_int_t)run->start_ms, "markets",
                          view_list(run->markets), "wants", wants);
    view_append(rows, o);
    if (crop != NULL) {
        TRY(chamber_ready(p, crop, run->start_ms, &harvest_ms));
    }
    int64_t earliest_ms = run->start_ms + age_ms;
    int64_t latest_ms = harvest_ms - p->lab_transit_ms - p->lab_time_ms;
    TRY(put_samples(v, run->lot, age_ms, o, &counted));
    const char *state = counted >= least                           ? "drawn"
                        : harvest_ms != 0 && v->now_ms > latest_ms ? "late"
                        : v->now_ms >= earliest_ms                 ? "due"
                                                                   : "early";
    view_put(o, "harvest_ms", view_int(harvest_ms != 0, harvest_ms));
    view_put(o, "earliest_ms", json_integer(earliest_ms));
    view_put(o, "latest_ms", view_int(harvest_ms != 0, latest_ms));
    view_put(o, "needed", json_integer(least));
    view_put(o, "counted", json_integer(counted));
    view_put(o, "state", json_string(state));
    return RESULT_OK;
}

static struct result put_waiting(const struct view *v, json_t *o)
{
    const struct profile *p = v->profile;
    int64_t since;
    json_t *rows = json_array();
    view_put(o, "waiting", rows);
    TRY(view_entry_since(v, v->now_ms - WAITING_BACK_DAYS * DAY_MS, &since));
    struct statement *q = store_prepare(v->store, Q_TODAY_SAMPLES);
    store_bind_int(q, 1, since * LEDGER_IDS_PER_ENTRY);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t taken_ms = store_int(q, 3), due_ms = taken_ms + p->lab_transit_ms + p->lab_time_ms;
        view_append(rows,
                    json_pack("{s:s,s:o,s:o,s:I,s:I,s:b,s:b}", "sample", store_text(q, 0), "lot",
                              view_text(store_text(q, 1)), "place", view_text(store_text(q, 2)),
                              "taken_ms", (json_int_t)taken_ms, "due_ms", (json_int_t)due_ms,
                              "presumptive", (int)(store_int(q, 4) != 0), "late",
                              (int)(due_ms <= v->now_ms)));
    }
}

static struct result fill(const struct view *v, json_t *o)
{
    struct chamber_run *runs;
    size_t count;
    json_t *rows = json_array();
    view_put(o, "now_ms", json_integer(v->now_ms));
    view_put(o, "transit_ms", json_integer(v->profile->lab_transit_ms));
    view_put(o, "lab_ms", json_integer(v->profile->lab_time_ms));
    view_put(o, "batches", rows);
    TRY(chamber_runs(v->store, v->arena, &runs, &count));
    for (size_t i = 0; i < count; i++) {
        TRY(put_batch(v, &runs[i], rows));
    }
    return put_waiting(v, o);
}

struct result view_calendar(struct view *v, json_t **out)
{
    json_t *o = json_object();
    struct result r = fill(v, o);
    if (r.code != CODE_OK) {
        json_decref(o);
        return r;
    }
    *out = o;
    return RESULT_OK;
}
