#include "service/view_registers.h"

#include <string.h>

#include "base/check.h"
#include "ledger/acceptance.h"
#include "service/safety.h"
#include "service/sentence.h"

#define DAY_MS INT64_C(86400000)
enum { BACK_DAYS = 182, YEAR_DAYS = 365, NOTES_SHOWN = 12, ROWS_SHOWN = 200 };

static json_t *of_data(const json_t *data, const char *key)
{
    json_t *value = json_object_get(data, key);
    return value != NULL ? json_incref(value) : json_null();
}

/* {entry, code, place, lot, ok, at_ms, by} and the particulars named. */
static struct result put_notes(const struct view *v, const char *kind, const char *code,
                               int64_t since_ms, int64_t most, const char *const *particulars,
                               json_t *rows)
{
    struct statement *q = store_prepare(v->store, Q_REGISTER_NOTES);
    store_bind_text(q, 1, kind);
    store_bind_int(q, 2, since_ms);
    store_bind_text(q, 3, code);
    store_bind_int(q, 4, most);
    for (;;) {
        bool row;
        json_t *data = NULL;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        TRY(json_read_stored(store_text(q, 6), &data));
        json_t *o =
            json_pack("{s:I,s:s,s:o,s:o,s:b,s:I,s:I}", "entry", (json_int_t)store_int(q, 0), "code",
                      store_text(q, 1), "place", view_text(store_text(q, 2)), "lot",
                      view_text(store_text(q, 3)), "ok", (int)(store_int(q, 4) != 0), "at_ms",
                      (json_int_t)store_int(q, 5), "by", (json_int_t)store_int(q, 7));
        CHECK(o != NULL);
        for (size_t i = 0; particulars[i] != NULL; i++) {
            view_put(o, particulars[i], of_data(data, particulars[i]));
        }
        view_append(rows, o);
        json_decref(data);
    }
}

/* Of the last year: how many, and how many not good. */
static struct result put_counts(const struct view *v, const char *kind, const char *code, json_t *o)
{
    struct statement *q = store_prepare(v->store, Q_REGISTER_COUNTS);
    bool row;
    store_bind_text(q, 1, kind);
    store_bind_text(q, 2, code);
    store_bind_int(q, 3, v->now_ms - YEAR_DAYS * DAY_MS);
    TRY(store_step(q, &row));
    view_put(o, "year", json_integer(row ? store_int(q, 0) : 0));
    view_put(o, "year_off", json_integer(row ? store_int(q, 1) : 0));
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

/* ---- glass and blades */

static struct result put_register(const struct view *v, const struct listed *l, json_t *rows)
{
    static const char *const particulars[] = {"counted", "expected", "what", NULL};
    json_t *counts = json_array();
    json_t *o = json_pack("{s:s,s:s,s:o,s:I,s:o}", "register", l->code, "of", listed_text(l, "of"),
                          "place", view_text(l->place), "expected",
                          (json_int_t)listed_int(l, "expected"), "counts", counts);
    CHECK(o != NULL);
    view_append(rows, o);
    TRY(put_notes(v, "register", l->code, v->now_ms - YEAR_DAYS * DAY_MS, NOTES_SHOWN, particulars,
                  counts));
    return put_counts(v, "register", l->code, o);
}

static struct result put_registers(const struct view *v, json_t *o)
{
    struct listed *list;
    size_t count;
    json_t *rows = json_array();
    view_put(o, "registers", rows);
    TRY(listed_all(v->store, v->arena, "register", &list, &count));
    struct result r = RESULT_OK;
    for (size_t i = 0; i < count && r.code == CODE_OK; i++) {
        r = put_register(v, &list[i], rows);
    }
    listed_free(list, count);
    return r;
}

/* ---- rounds */

static struct result put_rounds(const struct view *v, json_t *o)
{
    static const char *const particulars[] = {"what", NULL};
    struct duty *duties;
    size_t count;
    json_t *rows = json_array();
    view_put(o, "rounds", rows);
    TRY(duties_at(v->store, v->arena, v->now_ms, &duties, &count));
    for (size_t i = 0; i < count; i++) {
        const struct duty *d = &duties[i];
        if (!list_has("pest,glass,blades,maintenance", d->kind)) {
            continue;
        }
        json_t *notes = json_array();
        json_t *round =
            json_pack("{s:s,s:s,s:s,s:o,s:s,s:I,s:s,s:b,s:o}", "duty", d->code, "title", d->title,
                      "of", d->kind, "place", view_text(d->place), "state",
                      duty_state_text(d->state), "due_ms", (json_int_t)d->due_ms, "role", d->role,
                      "told", (int)(strcmp(d->by, "told") == 0), "notes", notes);
        CHECK(round != NULL);
        view_append(rows, round);
        TRY(put_notes(v, "duty", d->code, v->now_ms - YEAR_DAYS * DAY_MS, NOTES_SHOWN, particulars,
                      notes));
        TRY(put_counts(v, "duty", d->code, round));
    }
    return RESULT_OK;
}

/* ---- work orders */

static json_t *work_json(struct statement *q, const json_t *opened, const json_t *back)
{
    return json_pack(
        "{s:s,s:s,s:s,s:I,s:I,s:o,s:b,s:o,s:o,s:o,s:o}", "work_order", store_text(q, 0), "place",
        store_text(q, 1), "what", json_string_value(json_object_get(opened, "what")), "opened_ms",
        (json_int_t)store_int(q, 2), "entry", (json_int_t)store_int(q, 4), "by",
        of_data(opened, "by"), "open", (int)(back == NULL), "back_ms",
        view_int(back != NULL, back != NULL ? store_int(q, 5) : 0), "back_by",
        of_data(back, "cleared_by"), "back_entry",
        view_int(back != NULL, back != NULL ? store_int(q, 7) : 0), "note", of_data(back, "what"));
}

/* How many of the half year a place had. */
static void count_place(json_t *places, const char *place, bool open)
{
    size_t i;
    json_t *found = NULL, *one;
    json_array_foreach(places, i, one)
    {
        if (strcmp(json_string_value(json_object_get(one, "place")), place) == 0) {
            found = one;
        }
    }
    if (found == NULL) {
        found = json_pack("{s:s,s:i,s:i}", "place", place, "orders", 0, "open", 0);
        CHECK(found != NULL);
        view_append(places, found);
    }
    view_put(found, "orders",
             json_integer(json_integer_value(json_object_get(found, "orders")) + 1));
    view_put(found, "open",
             json_integer(json_integer_value(json_object_get(found, "open")) + open));
}

static struct result put_work(const struct view *v, json_t *o)
{
    json_t *rows = json_array(), *places = json_array();
    view_put(o, "work", rows);
    view_put(o, "work_places", places);
    struct statement *q = store_prepare(v->store, Q_REGISTER_WORK);
    store_bind_int(q, 1, v->now_ms - BACK_DAYS * DAY_MS);
    store_bind_int(q, 2, ROWS_SHOWN);
    for (;;) {
        bool row;
        json_t *opened = NULL, *back = NULL;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        TRY(json_read_stored(store_text(q, 3), &opened));
        struct result r =
            store_is_null(q, 6) ? RESULT_OK : json_read_stored(store_text(q, 6), &back);
        if (r.code == CODE_OK) {
            view_append(rows, work_json(q, opened, back));
            count_place(places, store_text(q, 1), back == NULL);
        }
        json_decref(opened);
        json_decref(back);
        TRY(r);
    }
}

/* ---- samples kept back */

static struct result put_retained(const struct view *v, json_t *o)
{
    struct listed *list;
    size_t count;
    json_t *rows = json_array();
    view_put(o, "retained", rows);
    TRY(listed_all(v->store, v->arena, "retained", &list, &count));
    for (size_t i = 0; i < count; i++) {
        const struct listed *l = &list[i];
        json_t *row =
            json_pack("{s:s,s:o,s:o,s:I,s:I,s:I,s:I,s:I,s:b}", "retained", l->code, "lot",
                      view_text(l->about), "place", view_text(l->place), "at_ms",
                      (json_int_t)l->at_ms, "until_ms", (json_int_t)l->until_ms, "pieces",
                      (json_int_t)listed_int(l, "pieces"), "mg", (json_int_t)listed_int(l, "mg"),
                      "entry", (json_int_t)l->entry, "over", (int)(l->until_ms <= v->now_ms));
        CHECK(row != NULL);
        view_append(rows, row);
    }
    listed_free(list, count);
    return RESULT_OK;
}

/* ---- deliveries */

struct source_of {
    const char *supplier, *item;
    int64_t deliveries, accepted, refused, last_ms;
};

static struct result put_source(const struct view *v, const struct source_of *s, json_t *rows)
{
    struct acceptance_plan plan;
    struct acceptance_series series = {.check = "", .from = s->supplier, .item = s->item};
    if (profile_acceptance(v->profile, "", s->item) == NULL) {
        return RESULT_OK; /* the profile asks for it no longer */
    }
    TRY(acceptance_plan(v->store, v->profile, &series, 1, v->now_ms, &plan, NULL));
    view_append(rows,
                json_pack("{s:s,s:s,s:s,s:I,s:I,s:I,s:I}", "supplier", s->supplier, "item", s->item,
                          "inspection", inspection_word(plan.inspection), "deliveries",
                          (json_int_t)s->deliveries, "accepted", (json_int_t)s->accepted, "refused",
                          (json_int_t)s->refused, "last_ms", (json_int_t)s->last_ms));
    return RESULT_OK;
}

static struct result put_deliveries(const struct view *v, json_t *o)
{
    struct source_of list[ROWS_SHOWN];
    size_t count = 0;
    json_t *rows = json_array();
    view_put(o, "deliveries", rows);
    struct statement *q = store_prepare(v->store, Q_REGISTER_DELIVERIES);
    for (bool row = true; row;) {
        TRY(store_step(q, &row));
        if (row && count < ROWS_SHOWN) {
            list[count++] = (struct source_of){.supplier = arena_copy(v->arena, store_text(q, 0)),
                                               .item = arena_copy(v->arena, store_text(q, 1)),
                                               .deliveries = store_int(q, 2),
                                               .accepted = store_int(q, 3),
                                               .refused = store_int(q, 4),
                                               .last_ms = store_int(q, 5)};
        }
    }
    for (size_t i = 0; i < count; i++) {
        TRY(put_source(v, &list[i], rows));
    }
    return RESULT_OK;
}

/* ---- packed lots */

struct packs_of {
    const char *check, *line, *item;
    int64_t lots, accepted, refused, last_ms;
};

static struct result put_line(const struct view *v, const struct packs_of *s, json_t *rows)
{
    struct acceptance_plan plan;
    struct acceptance_series series = {.check = s->check, .from = s->line, .item = s->item};
    if (profile_acceptance(v->profile, s->check, s->item) == NULL) {
        return RESULT_OK;
    }
    TRY(acceptance_plan(v->store, v->profile, &series, 1, v->now_ms, &plan, NULL));
    view_append(rows,
                json_pack("{s:s,s:s,s:s,s:s,s:s,s:I,s:I,s:I,s:I}", "check", s->check, "title",
                          sentence_title(v->arena, v->profile, v->lang, s->check), "line", s->line,
                          "item", s->item, "inspection", inspection_word(plan.inspection), "lots",
                          (json_int_t)s->lots, "accepted", (json_int_t)s->accepted, "refused",
                          (json_int_t)s->refused, "last_ms", (json_int_t)s->last_ms));
    return RESULT_OK;
}

static struct result put_packs(const struct view *v, json_t *o)
{
    struct packs_of list[ROWS_SHOWN];
    size_t count = 0;
    json_t *rows = json_array();
    view_put(o, "packs", rows);
    struct statement *q = store_prepare(v->store, Q_REGISTER_PACKS);
    for (bool row = true; row;) {
        TRY(store_step(q, &row));
        if (row && count < ROWS_SHOWN) {
            const char *code = store_text(q, 0);
            list[count++] =
                (struct packs_of){.check = arena_copy_n(v->arena, code, strcspn(code, "/")),
                                  .line = arena_copy(v->arena, store_text(q, 1)),
                                  .item = arena_copy(v->arena, store_text(q, 2)),
                                  .lots = store_int(q, 3),
                                  .accepted = store_int(q, 4),
                                  .refused = store_int(q, 5),
                                  .last_ms = store_int(q, 6)};
        }
    }
    for (size_t i = 0; i < count; i++) {
        TRY(put_line(v, &list[i], rows));
    }
    return RESULT_OK;
}

static struct result fill(const struct view *v, json_t *o)
{
    static const char *const particulars[] = {"what", "passes", NULL};
    json_t *rejects = json_array();
    view_put(o, "now_ms", json_integer(v->now_ms));
    TRY(put_registers(v, o));
    TRY(put_rounds(v, o));
    TRY(put_work(v, o));
    view_put(o, "rejects", rejects);
    TRY(put_notes(v, "reject", "", v->now_ms - BACK_DAYS * DAY_MS, ROWS_SHOWN, particulars,
                  rejects));
    TRY(put_retained(v, o));
    TRY(put_deliveries(v, o));
    return put_packs(v, o);
}

struct result view_registers(struct view *v, json_t **out)
{
    json_t *o = json_object();
    struct result r = fill(v, o);
    return view_hand_over(r, o, out);
}
