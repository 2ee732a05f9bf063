#include "service/view_calendar.h"

#include <math.h>
#include <string.h>

#include "base/check.h"
#include "calc/microbe/detection.h"
#include "calc/microbe/sample_times.h"
#include "ledger/evidence.h"
#include "service/view_inner.h"

enum { WAITING_BACK_DAYS = 30, PPM = 1000000 };
#define DAY_MS INT64_C(86400000)

static bool meant(const char *markets, const struct market *m)
{
    return markets[0] == '\0' || list_has(markets, m->name);
}

/* The least level that so many samples of such a volume find 95 times in a hundred, in cells a
 * litre that are spread by chance; what is rarer may be missed. -1: no volume is asked for. */
static struct result found_milli(const struct market *m, int64_t *out)
{
    struct detection ask = {.portion_g = (double)m->volume_ml,
                            .share = 1,
                            .sensitivity = 1,
                            .pooled = 1,
                            .tests = m->samples,
                            .confidence = 0.95};
    struct detection_report found;
    *out = -1;
    if (m->volume_ml == 0 || m->samples == 0) {
        return RESULT_OK;
    }
    TRY(detection(&ask, &found));
    *out = found.reachable ? (int64_t)ceil(found.found_per_kg * 1000) : -1;
    return RESULT_OK;
}

/* One cell a litre, spread by chance: how often so many tests of such a volume miss it, in a
 * million, rounded up. -1: no volume is known. */
static struct result miss_ppm(int64_t volume_ml, int64_t tests, int64_t *out)
{
    struct detection ask = {.cells_per_kg = 1,
                            .portion_g = (double)volume_ml,
                            .share = 1,
                            .sensitivity = 1,
                            .pooled = 1,
                            .tests = tests,
                            .confidence = 0.95};
    struct detection_report found;
    *out = -1;
    if (volume_ml == 0 || tests == 0) {
        return RESULT_OK;
    }
    TRY(detection(&ask, &found));
    *out = (int64_t)ceil((1 - found.chance) * PPM);
    return RESULT_OK;
}

/* What each market of the batch asks for; *out_least: how many samples the strictest wants. */
static struct result put_wants(const struct view *v, const char *markets, json_t *rows,
                               int64_t *out_age_ms, int64_t *out_least)
{
    int64_t milli, miss;
    *out_age_ms = *out_least = 0;
    for (size_t i = 0; i < v->profile->market_count; i++) {
        const struct market *m = &v->profile->markets[i];
        if (!meant(markets, m)) {
            continue;
        }
        TRY(found_milli(m, &milli));
        TRY(miss_ppm(m->volume_ml, m->samples, &miss));
        json_t *organisms = json_array();
        for (size_t k = 0; k < m->organism_count; k++) {
            view_append(organisms, json_string(m->organisms[k].organism));
        }
        *out_age_ms = m->min_age_ms > *out_age_ms ? m->min_age_ms : *out_age_ms;
        *out_least = m->samples > *out_least ? m->samples : *out_least;
        view_append(
            rows, json_pack("{s:s,s:o,s:I,s:I,s:o,s:I,s:o,s:s,s:o,s:o}", "market", m->name, "what",
                            view_list(m->what), "samples", (json_int_t)m->samples, "volume_ml",
                            (json_int_t)m->volume_ml, "locations", view_list(m->locations),
                            "min_age_ms", (json_int_t)m->min_age_ms, "organisms", organisms,
                            "source", m->source->title, "found_per_l_milli",
                            view_int(milli >= 0, milli), "miss_ppm", view_int(miss >= 0, miss)));
    }
    return RESULT_OK;
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

/* The samples of a batch. *out_counted, *out_ml: of those old enough, and their volume in all. */
static struct result put_samples(const struct view *v, int64_t lot, int64_t age_ms, json_t *batch,
                                 int64_t *out_counted, int64_t *out_ml)
{
    struct drawn *list = NULL;
    size_t count = 0;
    json_t *rows = json_array();
    view_put(batch, "samples", rows);
    *out_counted = *out_ml = 0;
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
        *out_ml += at_age_ms >= age_ms ? store_int(q, 6) : 0;
        view_append(rows, o);
    }
    for (size_t i = 0; i < count; i++) {
        TRY(put_findings(v, &list[i]));
        TRY(put_custody(v, &list[i]));
    }
    return RESULT_OK;
}

/* The last moment at which a sample's result is there before the harvest. */
static struct result latest(const struct profile *p, int64_t now_ms, int64_t wet_ms,
                            int64_t harvest_ms, int64_t age_ms, int64_t *out_ms)
{
    const struct sample_times ask = {.sampled_ms = now_ms > wet_ms ? now_ms - wet_ms : 0,
                                     .transit_ms = p->lab_transit_ms,
                                     .laboratory_ms = p->lab_time_ms,
                                     .needed_ms = harvest_ms - wet_ms,
                                     .age_min_ms = age_ms};
    struct sample_times_report times;
    TRY(sample_times(&ask, &times));
    *out_ms = wet_ms + times.latest_ms;
    return RESULT_OK;
}

static struct result put_batch(const struct view *v, const struct chamber_run *run, json_t *rows)
{
    const struct profile *p = v->profile;
    const struct crop *crop = profile_crop(p, run->item);
    int64_t age_ms, least, counted, ml, miss, harvest_ms = 0, latest_ms = 0;
    json_t *wants = json_array();
    json_t *o = json_pack("{s:s,s:s,s:s,s:I,s:o,s:o}", "lot", run->code, "chamber", run->place,
                          "item", run->item, "wet_ms", (json_int_t)run->start_ms, "markets",
                          view_list(run->markets), "wants", wants);
    view_append(rows, o);
    TRY(put_wants(v, run->markets, wants, &age_ms, &least));
    if (crop != NULL) {
        TRY(chamber_due(p, crop, run, v->now_ms, &harvest_ms));
    }
    if (harvest_ms != 0) {
        TRY(latest(p, v->now_ms, run->start_ms, harvest_ms, age_ms, &latest_ms));
    }
    int64_t earliest_ms = run->start_ms + age_ms;
    TRY(put_samples(v, run->lot, age_ms, o, &counted, &ml));
    TRY(miss_ppm(ml, 1, &miss)); /* what was drawn finds as much as one test of all of it */
    const char *state = counted >= least                           ? "drawn"
                        : harvest_ms != 0 && v->now_ms > latest_ms ? "late"
                        : v->now_ms >= earliest_ms                 ? "due"
                                                                   : "early";
    view_put(o, "harvest_ms", view_int(harvest_ms != 0, harvest_ms));
    view_put(o, "earliest_ms", json_integer(earliest_ms));
    view_put(o, "latest_ms", view_int(harvest_ms != 0, latest_ms));
    view_put(o, "needed", json_integer(least));
    view_put(o, "counted", json_integer(counted));
    view_put(o, "miss_ppm", view_int(miss >= 0, miss));
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
    TRY(view_runs(v, &runs, &count));
    for (size_t i = 0; i < count; i++) {
        TRY(put_batch(v, &runs[i], rows));
    }
    return put_waiting(v, o);
}

struct result view_calendar(struct view *v, json_t **out)
{
    json_t *o = json_object();
    struct result r = fill(v, o);
    return view_hand_over(r, o, out);
}
