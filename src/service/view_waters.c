#include <string.h>

#include "base/check.h"
#include "ledger/evidence.h"
#include "ledger/water_book.h"
#include "service/view_calendar.h"
#include "service/view_waters.h"

struct waters {
    const struct view *v;
    int64_t from_ms, to_ms;
    json_t *places;
    const char **codes; /* of the places, in order */
    size_t code_count;
};

static json_t *last_of(json_t *list)
{
    size_t count = json_array_size(list);
    return count > 0 ? json_array_get(list, count - 1) : NULL;
}

/* Readings come by place and unit: the list of the one at hand, begun when it is new. */
static json_t *readings_at(struct waters *w, const char *place, const struct water_meter_row *k)
{
    json_t *at = last_of(w->places);
    if (at == NULL || strcmp(json_string_value(json_object_get(at, "place")), place) != 0) {
        at = json_pack("{s:s,s:[],s:[]}", "place", place, "series", "product");
        view_append(w->places, at);
        const char **code = evidence_grow(w->v->arena, &w->codes, &w->code_count, sizeof *code);
        *code = arena_copy(w->v->arena, place);
    }
    json_t *series = json_object_get(at, "series"), *one = last_of(series);
    if (one == NULL || strcmp(json_string_value(json_object_get(one, "kind")), k->field) != 0) {
        one = json_pack("{s:s,s:s,s:n,s:n,s:n,s:[]}", "kind", k->field, "unit", k->told, "low",
                        "high", "source", "readings");
        view_append(series, one);
    }
    return json_object_get(one, "readings");
}

static struct result read_readings(struct waters *w)
{
    struct statement *q = store_prepare(w->v->store, Q_WATER_READINGS);
    store_bind_int(q, 1, w->from_ms);
    store_bind_int(q, 2, w->to_ms - 1);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        enum water_meter meter = water_meter_of(store_text(q, 1));
        if (meter != METERS) {
            view_append(readings_at(w, store_text(q, 0), &water_meters[meter]),
                        json_pack("{s:I,s:I,s:b,s:I}", "at_ms", (json_int_t)store_int(q, 4),
                                  "value", (json_int_t)store_int(q, 2), "ok",
                                  (int)(store_int(q, 3) != 0), "entry",
                                  (json_int_t)store_int(q, 5)));
        }
    }
}

/* Limits as they are in force now; a reading itself says whether it was good when it was read. */
static struct result put_limits(struct waters *w, json_t *series)
{
    const struct view *v = w->v;
    size_t i;
    json_t *one;
    json_array_foreach(series, i, one)
    {
        const struct water_meter_row *k =
            &water_meters[water_meter_named(json_string_value(json_object_get(one, "kind")))];
        if (k->limit == NULL || profile_limit(v->profile, k->limit, "*") == NULL) {
            continue;
        }
        struct limit limit;
        TRY(limit_in_force(v->store, v->profile, k->limit, "*", v->now_ms, &limit));
        view_put(one, "low", view_int(limit.has_low, limit.low));
        view_put(one, "high", view_int(limit.has_high, limit.high));
        view_put(one, "source", view_text(limit.source != NULL ? limit.source->title : NULL));
    }
    return RESULT_OK;
}

static struct result put_product(struct waters *w, size_t i)
{
    json_t *place = json_array_get(w->places, i), *rows = json_object_get(place, "product");
    struct statement *q = store_prepare(w->v->store, Q_WATER_PRODUCT);
    store_bind_text(q, 1, w->codes[i]);
    store_bind_int(q, 2, w->from_ms);
    store_bind_int(q, 3, w->to_ms - 1);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return put_limits(w, json_object_get(place, "series"));
        }
        view_append(rows,
                    json_pack("{s:s,s:I,s:I}", "lot", store_text(q, 0), "from_ms",
                              (json_int_t)store_int(q, 1), "to_ms", (json_int_t)store_int(q, 2)));
    }
}

static struct result put_systems(struct waters *w, json_t *o)
{
    json_t *systems = json_array();
    view_put(o, "systems", systems);
    struct statement *q = store_prepare(w->v->store, Q_WATER_RESULTS);
    store_bind_int(q, 1, w->from_ms);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        json_t *at = last_of(systems);
        const char *place = store_text(q, 0);
        if (at == NULL || strcmp(json_string_value(json_object_get(at, "place")), place) != 0) {
            at = json_pack("{s:s,s:[]}", "place", place, "results");
            view_append(systems, at);
        }
        int64_t at_ms = store_int(q, 5);
        view_append(json_object_get(at, "results"),
                    json_pack("{s:s,s:I,s:o,s:s,s:o}", "sample", store_text(q, 1), "taken_ms",
                              (json_int_t)store_int(q, 2), "organism", view_text(store_text(q, 3)),
                              "state", store_text(q, 4), "at_ms", view_int(at_ms != 0, at_ms)));
    }
}

static struct result fill(struct waters *w, int32_t from, int32_t to, json_t *o)
{
    TRY(view_day_start(w->v, from, &w->from_ms));
    TRY(view_day_start(w->v, to + 1, &w->to_ms));
    view_put(o, "from_ms", json_integer(w->from_ms));
    view_put(o, "to_ms", json_integer(w->to_ms));
    w->places = json_array();
    view_put(o, "places", w->places);
    TRY(read_readings(w));
    for (size_t i = 0; i < w->code_count; i++) {
        TRY(put_product(w, i));
    }
    TRY(put_systems(w, o));
    int64_t now_ms = w->v->now_ms;
    return view_water_loops(w->v, w->from_ms, w->to_ms - 1 < now_ms ? w->to_ms - 1 : now_ms, o);
}

struct result view_waters(struct view *v, int32_t from, int32_t to, json_t **out)
{
    struct waters w = {.v = v};
    json_t *o = json_object();
    struct result r = fill(&w, from, to, o);
    return view_hand_over(r, o, out);
}
