#include "service/view_house.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/view.h"
#include "service/people.h"
#include "service/view_rules.h"

enum { PAPERS_MAX = 200 };

/* One JSON object a row of a query that was prepared and bound. */
static struct result rows_json(struct view *v, struct statement *q,
                               json_t *(*make)(struct view *v, struct statement *q), json_t **out)
{
    json_t *list = json_array();
    for (;;) {
        bool row;
        struct result r = store_step(q, &row);
        if (r.code != CODE_OK) {
            json_decref(list);
            return r;
        }
        if (!row) {
            *out = list;
            return RESULT_OK;
        }
        json_t *o = make(v, q);
        CHECK(o != NULL);
        json_array_append_new(list, o);
    }
}

/* Puts the rows of a query without parameters under a name. */
static struct result put_rows(struct view *v, json_t *o, const char *name, enum query query,
                              json_t *(*make)(struct view *v, struct statement *q))
{
    json_t *list;
    TRY(rows_json(v, store_prepare(v->store, query), make, &list));
    json_object_set_new(o, name, list);
    return RESULT_OK;
}

/* ---- what stands in it */

static json_t *place_json(struct view *v, struct statement *q)
{
    (void)v;
    return json_pack("{s:s,s:s,s:s,s:s?,s:b}", "code", store_text(q, 0), "name", store_text(q, 1),
                     "kind", store_text(q, 2), "parent", store_text(q, 4), "in_service",
                     (int)store_int(q, 6));
}

static json_t *item_json(struct view *v, struct statement *q)
{
    (void)v;
    return json_pack("{s:s,s:s,s:s,s:s,s:I,s:I,s:s?}", "code", store_text(q, 0), "name",
                     store_text(q, 1), "kind", store_text(q, 2), "family", store_text(q, 3),
                     "net_mg", (json_int_t)store_int(q, 5), "pieces_per_case",
                     (json_int_t)store_int(q, 6), "source_item", store_text(q, 9));
}

static json_t *partner_json(struct view *v, struct statement *q)
{
    (void)v;
    return json_pack("{s:s,s:s,s:s}", "code", store_text(q, 0), "role", store_text(q, 1), "market",
                     store_text(q, 3));
}

static json_t *paper_json(struct view *v, struct statement *q)
{
    size_t len;
    const void *sha256 = store_bytes(q, 0, &len);
    return json_pack("{s:s,s:s,s:s,s:s?,s:I,s:I}", "sha256", hex_text(v->arena, sha256, len),
                     "kind", store_text(q, 1), "name", store_text(q, 2), "lot", store_text(q, 3),
                     "entry", (json_int_t)store_int(q, 4), "at_ms", (json_int_t)store_int(q, 5));
}

/* Validations first: every load names one again. */
static struct result put_papers(struct view *v, json_t *o)
{
    json_t *list;
    struct statement *q = store_prepare(v->store, Q_PAGE_PAPERS);
    store_bind_int(q, 1, PAPERS_MAX);
    TRY(rows_json(v, q, paper_json, &list));
    json_object_set_new(o, "papers", list);
    return RESULT_OK;
}

/* The codes first: a query is never open twice. */
static json_t *code_json(struct view *v, struct statement *q)
{
    (void)v;
    return json_string(store_text(q, 0));
}

static struct result instruments_json(struct view *v, json_t *list, const json_t *codes)
{
    size_t i;
    json_t *code;
    json_array_foreach((json_t *)(uintptr_t)codes, i, code)
    {
        struct instrument one;
        bool found;
        TRY(instrument_on(v->store, v->arena, json_string_value(code), v->now_ms, &one, &found));
        if (found) {
            json_t *o = json_pack("{s:s,s:s,s:s?,s:I}", "code", one.code, "kind", one.kind, "place",
                                  one.place, "due_ms", (json_int_t)one.due_ms);
            CHECK(o != NULL);
            json_array_append_new(list, o);
        }
    }
    return RESULT_OK;
}

static struct result put_instruments(struct view *v, json_t *o)
{
    json_t *codes, *list = json_array();
    json_object_set_new(o, "instruments", list);
    TRY(rows_json(v, store_prepare(v->store, Q_PAGE_INSTRUMENT_KINDS), code_json, &codes));
    struct result r = instruments_json(v, list, codes);
    json_decref(codes);
    return r;
}

static struct result fill_house(struct view *v, json_t *o)
{
    json_t *markets = json_array();
    json_object_set_new(o, "markets", markets);
    for (size_t i = 0; i < v->profile->market_count; i++) {
        json_array_append_new(markets, json_string(v->profile->markets[i].name));
    }
    TRY(put_rows(v, o, "places", Q_PLACE_ALL, place_json));
    TRY(put_instruments(v, o));
    TRY(put_rows(v, o, "items", Q_ITEM_ALL, item_json));
    TRY(put_rows(v, o, "partners", Q_PARTNER_ALL, partner_json));
    return put_papers(v, o);
}

struct result view_house(struct view *v, json_t **out)
{
    json_t *o = json_object();
    return view_hand_over(fill_house(v, o), o, out);
}

/* ---- who works there */

static json_t *person_json(struct view *v, struct statement *q)
{
    bool locked = store_int(q, 7) >= PEOPLE_TRIES || store_int(q, 8) > v->now_ms;
    return json_pack("{s:I,s:s,s:s?,s:b,s:b,s:b,s:b}", "number", (json_int_t)store_int(q, 0),
                     "role", store_text(q, 1), "name", store_text(q, 3), "active",
                     (int)store_int(q, 2), "has_pin", (int)store_int(q, 5), "has_badge",
                     (int)store_int(q, 6), "locked", (int)locked);
}

struct result view_people(struct view *v, json_t **out)
{
    json_t *o = json_object();
    return view_hand_over(put_rows(v, o, "people", Q_ACCESS_LIST, person_json), o, out);
}

/* ---- its limits */

static json_t *decimal_or_null(struct view *v, bool has, int64_t milli)
{
    return has ? json_string(decimal_text(v->arena, milli, 3, false)) : json_null();
}

/* Where its source's value comes from, as it was told; NULL: nothing was said. */
static json_t *word_told(const char *entry_body)
{
    json_t *body = NULL, *word = NULL;
    if (json_read_stored(entry_body, &body).code == CODE_OK) {
        word = json_incref(json_object_get(json_object_get(body, "did"), "word"));
    }
    json_decref(body);
    return word != NULL ? word : json_null();
}

static json_t *change_json(struct view *v, struct statement *q)
{
    return json_pack("{s:I,s:o,s:o,s:s,s:I,s:I,s:s,s:b,s:o}", "entry", (json_int_t)store_int(q, 0),
                     "low", decimal_or_null(v, !store_is_null(q, 1), store_int(q, 1)), "high",
                     decimal_or_null(v, !store_is_null(q, 2), store_int(q, 2)), "source",
                     store_text(q, 3), "from_ms", (json_int_t)store_int(q, 4), "by",
                     (json_int_t)store_int(q, 5), "reason", store_text(q, 6), "loosens",
                     (int)store_int(q, 7), "word", word_told(store_text(q, 8)));
}

/* The newest that is in force by now; NULL: the profile's own value is. */
static const json_t *change_in_force(const struct view *v, const json_t *changes)
{
    size_t i;
    json_t *o;
    json_array_foreach((json_t *)(uintptr_t)changes, i, o)
    {
        if (json_integer_value(json_object_get(o, "from_ms")) <= v->now_ms) {
            return o;
        }
    }
    return NULL;
}

static json_t *of_change(const json_t *change, const char *name)
{
    json_t *value = json_object_get(change, name);
    return value != NULL ? json_incref(value) : json_null();
}

static struct result limit_json(struct view *v, const struct limit *own, json_t *limits)
{
    struct limit now;
    json_t *changes;
    TRY(limit_in_force(v->store, v->profile, own->name, own->item, v->now_ms, &now));
    struct statement *q = store_prepare(v->store, Q_PAGE_LIMIT_CHANGES);
    store_bind_text(q, 1, own->name);
    TRY(rows_json(v, q, change_json, &changes));
    const json_t *change = change_in_force(v, changes);
    const char *source =
        change != NULL ? json_string_value(json_object_get(change, "source")) : own->source->title;
    json_t *o = json_pack(
        "{s:s,s:s,s:o,s:o,s:s,s:s,s:s?,s:o,s:b,s:o,s:o,s:o,s:o}", "name", own->name, "item",
        own->item, "low", decimal_or_null(v, now.has_low, now.low), "high",
        decimal_or_null(v, now.has_high, now.high), "unit", own->unit, "source", source, "locator",
        change != NULL ? NULL : own->source->locator, "word",
        change != NULL ? of_change(change, "word") : json_string(word_text(own->source->word)),
        "may_release", (int)source_may_release(own->source), "changed_by", of_change(change, "by"),
        "from_ms", of_change(change, "from_ms"), "reason", of_change(change, "reason"), "changes",
        changes);
    CHECK(o != NULL);
    json_array_append_new(limits, o);
    return RESULT_OK;
}

static struct result put_profile(struct view *v, json_t *o)
{
    const struct profile *p = v->profile;
    struct statement *q = store_prepare(v->store, Q_PAGE_PROFILE_FROM);
    store_bind_int(q, 1, v->now_ms);
    bool row;
    TRY(store_step(q, &row));
    json_t *profile = json_pack("{s:s,s:s,s:s,s:o}", "name", p->name, "title", p->title, "digest",
                                hex_text(v->arena, p->digest.b, sizeof p->digest.b), "from_ms",
                                row ? json_integer(store_int(q, 0)) : json_null());
    CHECK(profile != NULL);
    json_object_set_new(o, "profile", profile);
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result fill_limits(struct view *v, json_t *o)
{
    json_t *limits = json_array();
    json_object_set_new(o, "limits", limits);
    TRY(put_profile(v, o));
    json_object_set_new(o, "rules", rules_json(v));
    for (size_t i = 0; i < v->profile->limit_count; i++) {
        TRY(limit_json(v, &v->profile->limits[i], limits));
    }
    return RESULT_OK;
}

struct result view_limits(struct view *v, json_t **out)
{
    json_t *o = json_object();
    return view_hand_over(fill_limits(v, o), o, out);
}
