#include "service/view_review.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "service/view_inner.h"

/* Entries that wait are among the last thousands. */
static struct statement *waiting(const struct view *v)
{
    const char *kinds = "";
    for (size_t i = 0; i < v->profile->step_count; i++) {
        const struct profile_step *step = &v->profile->steps[i];
        if (step->reviewed) {
            kinds =
                arena_printf(v->arena, "%s%s%s", kinds, kinds[0] != '\0' ? "," : "", step->name);
        }
    }
    struct statement *q = store_prepare(v->store, Q_REVIEW_WAITING);
    store_bind_int(q, 1, v->person);
    store_bind_text(q, 2, kinds);
    return q;
}

static json_t *batch_of(json_t *batches, const char *about)
{
    size_t i;
    json_t *batch;
    json_array_foreach(batches, i, batch)
    {
        if (strcmp(json_string_value(json_object_get(batch, "batch")), about) == 0) {
            return json_object_get(batch, "entries");
        }
    }
    json_t *entries = json_array();
    view_append(batches, json_pack("{s:s,s:o}", "batch", about, "entries", entries));
    return entries;
}

static json_t *row_of(const struct view *v, struct statement *q)
{
    const char *kind = store_text(q, 1), *title = view_step(v, kind);
    const char *lot = store_text(q, 4), *place = store_text(q, 5), *sample = store_text(q, 6);
    const char *about = sample != NULL ? sample : lot != NULL ? lot : place;
    json_t *lots = json_array();
    if (lot != NULL) {
        view_append(lots, json_string(lot));
    }
    json_t *o =
        json_pack("{s:I,s:I,s:I,s:s,s:s,s:s,s:s,s:I,s:o,s:s,s:o,s:o,s:n,s:n}", "entry",
                  (json_int_t)store_int(q, 0), "at_ms", (json_int_t)store_int(q, 3), "recorded_ms",
                  (json_int_t)store_int(q, 7), "day", day_text(v->arena, (int32_t)store_int(q, 8)),
                  "kind", kind, "title", title, "sentence",
                  about != NULL ? SAY(v, "story.about", title, about) : title, "by",
                  (json_int_t)store_int(q, 2), "name", view_text(store_text(q, 9)), "about",
                  about != NULL ? about : "", "lots", lots, "place", view_text(place), "struck_by",
                  "strikes");
    CHECK(o != NULL);
    return o;
}

struct result view_review(struct view *v, json_t **out)
{
    json_t *batches = json_array();
    json_t *o = json_pack("{s:o}", "batches", batches);
    CHECK(o != NULL);
    struct statement *q = waiting(v);
    bool row;
    for (;;) {
        struct result r = store_step(q, &row);
        if (r.code != CODE_OK) {
            json_decref(o);
            return r;
        }
        if (!row) {
            *out = o;
            return RESULT_OK;
        }
        const char *lot = store_text(q, 4), *place = store_text(q, 5), *sample = store_text(q, 6);
        const char *batch = lot != NULL ? lot : place != NULL ? place : sample;
        view_append(batch_of(batches, batch != NULL ? batch : ""), row_of(v, q));
    }
}

struct result view_review_count(struct view *v, int64_t *out)
{
    struct statement *q = waiting(v);
    bool row;
    *out = 0;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        ++*out;
    }
}
