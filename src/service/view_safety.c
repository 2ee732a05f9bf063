#include "service/view_safety.h"

#include <string.h>

#include "base/check.h"
#include "service/safety.h"
#include "service/story.h"

enum { DEVIATIONS_SHOWN = 100, LOTS_SHOWN = 12, WAITING_SHOWN = 30 };

static json_t *action_json(const struct deviation *d)
{
    if (d->action == 0) {
        return json_null();
    }
    return json_pack("{s:I,s:I,s:I,s:s,s:s,s:s,s:s}", "entry", (json_int_t)d->action, "by",
                     (json_int_t)d->action_person, "at_ms", (json_int_t)d->action_ms, "cause",
                     d->cause, "correction", d->correction, "disposition", d->disposition,
                     "restart", d->restart);
}

/* Between the last good reading and the next one; up to now where there is none yet. */
static struct result window_lots(const struct view *v, const struct deviation *d, json_t *lots,
                                 int64_t *out_count)
{
    *out_count = 0;
    if (d->place == NULL || (d->from_ms == 0 && d->to_ms == 0)) {
        *out_count = d->lot_code != NULL;
        if (d->lot_code != NULL) {
            view_append(lots, json_string(d->lot_code));
        }
        return RESULT_OK;
    }
    struct statement *q = store_prepare(v->store, Q_SAFETY_THERE);
    store_bind_text(q, 1, d->place);
    store_bind_int(q, 2, d->from_ms);
    store_bind_int(q, 3, d->to_ms != 0 ? d->to_ms : v->now_ms);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (++*out_count <= LOTS_SHOWN) {
            view_append(lots, json_string(store_text(q, 0)));
        }
    }
}

static struct result put_deviations(const struct view *v, json_t *o)
{
    struct deviation *list;
    size_t count;
    json_t *rows = json_array();
    view_put(o, "deviations", rows);
    TRY(deviations_open(v, &list, &count));
    view_put(o, "deviation_count", json_integer((json_int_t)count));
    for (size_t i = 0; i < count && i < DEVIATIONS_SHOWN; i++) {
        const struct deviation *d = &list[i];
        json_t *lots = json_array();
        json_t *row = json_pack(
            "{s:I,s:I,s:s,s:s,s:o,s:o,s:I,s:I,s:o,s:o,s:s,s:b,s:o,s:o}", "deviation",
            (json_int_t)d->id, "entry", (json_int_t)d->entry, "rule", d->rule, "sentence",
            d->sentence, "lot", view_text(d->lot_code), "place", view_text(d->place), "at_ms",
            (json_int_t)d->at_ms, "by", (json_int_t)d->person, "from_ms",
            view_int(d->from_ms != 0, d->from_ms), "to_ms", view_int(d->to_ms != 0, d->to_ms),
            "next", d->action != 0 ? "verify" : "correct", "mine",
            d->action != 0 && d->action_person == v->person, "action", action_json(d), "lots",
            lots);
        int64_t lot_count;
        view_append(rows, row);
        TRY(window_lots(v, d, lots, &lot_count));
        view_put(row, "lot_count", json_integer(lot_count));
    }
    return RESULT_OK;
}

static json_t *copied(const json_t *data, const char *key)
{
    json_t *value = json_object_get(data, key);
    return value != NULL ? json_deep_copy(value) : json_null();
}

static struct result put_environments(const struct view *v, json_t *o)
{
    json_t *rows = json_array();
    view_put(o, "environments", rows);
    struct statement *q = store_prepare(v->store, Q_SAFETY_ENVIRONMENTS);
    for (;;) {
        bool row;
        json_t *data = NULL;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        TRY(json_read_stored(store_text(q, 4), &data));
        view_append(rows,
                    json_pack("{s:I,s:s,s:b,s:I,s:I,s:o,s:o,s:o,s:o,s:o}", "environment",
                              (json_int_t)store_int(q, 0), "place", store_text(q, 1),
                              "product_hold", (int)(store_int(q, 2) != 0), "opened_ms",
                              (json_int_t)store_int(q, 3), "tasks", (json_int_t)store_int(q, 5),
                              "organism", copied(data, "organism"), "sample",
                              copied(data, "sample"), "site", copied(data, "site"), "zone",
                              copied(data, "zone"), "clear", copied(data, "clear")));
        json_decref(data);
    }
}

static void add_block(json_t *rows, const char *kind, const char *code, const char *sentence,
                      const char *place, int64_t since_ms, const struct duty_way *way)
{
    view_append(rows, json_pack("{s:s,s:s,s:s,s:s,s:I,s:s,s:o}", "kind", kind, "code", code,
                                "sentence", sentence, "place", place, "since_ms",
                                (json_int_t)since_ms, "form", way->form, "with", way->with));
}

/* What keeps work from starting at a place. */
static struct result put_blocks(const struct view *v, json_t *o)
{
    json_t *rows = json_array();
    struct duty *duties;
    struct listed *orders;
    size_t count;
    view_put(o, "blocks", rows);
    TRY(duties_at(v->store, v->arena, v->now_ms, &duties, &count));
    for (size_t i = 0; i < count; i++) {
        const struct duty *d = &duties[i];
        if (d->blocks && d->place != NULL && d->state == DUTY_OVERDUE) {
            struct duty_way way = duty_way(d);
            add_block(rows, "duty", d->code, d->title, d->place, d->due_ms, &way);
        }
    }
    TRY(listed_all(v->store, v->arena, "work-order", &orders, &count));
    for (size_t i = 0; i < count; i++) {
        struct duty_way way = {.form = "hand-back", .with = json_object()};
        view_put(way.with, "work_order", json_string(orders[i].code));
        add_block(rows, "work-order", orders[i].code, listed_text(&orders[i], "what"),
                  orders[i].place, orders[i].at_ms, &way);
    }
    listed_free(orders, count);
    return RESULT_OK;
}

struct waiting {
    int64_t id, mg;
    const char *code, *item;
};

static struct result put_unmet(const struct view *v, const struct waiting *w, json_t *rows)
{
    struct clause_list list;
    json_t *unmet = json_array();
    view_append(rows, json_pack("{s:s,s:s,s:I,s:o}", "lot", w->code, "item", w->item, "mg",
                                (json_int_t)w->mg, "unmet", unmet));
    TRY(clauses_of_lot(v->store, v->profile, w->id, "", v->arena, &list));
    for (size_t i = 0; i < list.line_count; i++) {
        const struct clause_line *line = &list.lines[i];
        if (line->state == CLAUSE_UNMET) {
            view_append(
                unmet, json_pack("{s:s,s:s,s:s,s:o,s:s}", "clause", line->clause, "title",
                                 words_of(v->arena, v->lang, "clause.", line->clause, line->clause),
                                 "lot", line->lot_code, "place", view_text(line->place), "sentence",
                                 result_sentence_in(v->arena, v->lang, &line->reason)));
        }
    }
    return RESULT_OK;
}

static struct result put_waiting(const struct view *v, json_t *o)
{
    struct waiting list[WAITING_SHOWN];
    size_t count = 0;
    json_t *rows = json_array();
    view_put(o, "waiting", rows);
    struct statement *q = store_prepare(v->store, Q_TODAY_UNRELEASED);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        if (count < WAITING_SHOWN) {
            list[count] = (struct waiting){.id = store_int(q, 0),
                                           .code = arena_copy(v->arena, store_text(q, 1)),
                                           .item = arena_copy(v->arena, store_text(q, 2)),
                                           .mg = store_int(q, 3)};
        }
        count++;
    }
    view_put(o, "waiting_count", json_integer((json_int_t)count));
    for (size_t i = 0; i < count && i < WAITING_SHOWN; i++) {
        TRY(put_unmet(v, &list[i], rows));
    }
    return RESULT_OK;
}

static struct result fill(const struct view *v, json_t *o)
{
    TRY(put_deviations(v, o));
    TRY(put_environments(v, o));
    TRY(put_blocks(v, o));
    return put_waiting(v, o);
}

struct result view_safety(struct view *v, json_t **out)
{
    json_t *o = json_object();
    struct result r = fill(v, o);
    return view_hand_over(r, o, out);
}
