/* What was told and is not booked, and what two devices told of one chamber. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/evidence.h"
#include "service/entry_row.h"
#include "service/sentence.h"
#include "service/story.h"
#include "service/today.h"

#define DAY_MS INT64_C(86400000)
#define MINUTE_MS INT64_C(60000)
enum { TWICE_BACK_DAYS = 7, IN_MINUTES = 120 };

static struct result entries_of(struct today *t, enum query query, int64_t **out, size_t *out_count)
{
    struct statement *q = store_prepare(t->v->store, query);
    *out = NULL;
    *out_count = 0;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t *entry = evidence_grow(t->v->arena, out, out_count, sizeof **out);
        *entry = store_int(q, 0);
    }
}

static const char *age(const struct view *v, int64_t ms)
{
    return ms < IN_MINUTES * MINUTE_MS
               ? arena_printf(v->arena, "%lld min",
                              (long long)(ms > MINUTE_MS ? ms / MINUTE_MS : 1))
               : view_hours(v, ms);
}

/* When it was pressed; where the command does not say so, when it was set aside. */
static int64_t told_ms(const json_t *did, int64_t otherwise_ms)
{
    json_t *command = NULL;
    int64_t ms = otherwise_ms;
    const char *text = json_string_value(json_object_get(did, "told"));
    if (json_read_stored(text, &command).code != CODE_OK) {
        return ms;
    }
    const char *at = json_string_value(json_object_get(command, "at"));
    if (at != NULL && civil_read(at, "at", &ms).code != CODE_OK) {
        ms = otherwise_ms;
    }
    json_decref(command);
    return ms;
}

static void add_aside(struct today *t, const struct entry *e, const json_t *did, const json_t *row)
{
    struct view *v = t->v;
    const char *name = json_string_value(json_object_get(row, "name"));
    const char *who = name != NULL ? name : SAY(v, "today.person", view_number(v, e->person));
    const char *lot = json_string_value(json_array_get(json_object_get(row, "lots"), 0));
    const char *place = json_string_value(json_object_get(row, "place"));
    int64_t ms = told_ms(did, e->happened_ms);
    today_add(t, &(struct today_line){.what = TODAY_ASIDE,
                                      .about = view_number(v, e->seq),
                                      .lot = lot != NULL ? arena_copy(v->arena, lot) : NULL,
                                      .place = place != NULL ? arena_copy(v->arena, place) : NULL,
                                      .with = today_with("entry", view_number(v, e->seq)),
                                      .sentence =
                                          SAY(v, "today.aside", arena_copy(v->arena, who),
                                              view_clock(v, ms), age(v, v->now_ms - ms),
                                              sentence_refused(v->arena, v->profile, v->lang, did),
                                              sentence_refusal(v->arena, v->lang, did))});
}

struct result today_asides(struct today *t)
{
    int64_t *entries;
    size_t count;
    TRY(entries_of(t, Q_TODAY_ASIDES, &entries, &count));
    for (size_t i = 0; i < count; i++) {
        struct entry e;
        bool found;
        json_t *body, *row = NULL;
        TRY(entry_by_seq(t->v->store, t->v->arena, entries[i], &e, &found));
        CHECK(found); /* the task names its own entry */
        TRY(json_read_stored(e.body, &body));
        struct result r = entry_row(t->v, &e, body, &row);
        if (r.code == CODE_OK) {
            add_aside(t, &e, json_object_get(body, "did"), row);
        }
        json_decref(row);
        json_decref(body);
        TRY(r);
    }
    return RESULT_OK;
}

/* Booked, but only with a rule broken by what another device had told of the chamber before. Stands
 * until the later one is reviewed or struck. */
struct result today_twice(struct today *t)
{
    struct view *v = t->v;
    int64_t since, last = 0;
    TRY(view_entry_since(v, v->now_ms - TWICE_BACK_DAYS * DAY_MS, &since));
    struct statement *q = store_prepare(v->store, Q_TODAY_TWICE);
    store_bind_int(q, 1, since * LEDGER_IDS_PER_ENTRY);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (store_int(q, 0) == last) {
            continue; /* one line says enough of an entry */
        }
        last = store_int(q, 0);
        const char *lot = arena_copy(v->arena, store_text(q, 2)),
                   *place = arena_copy(v->arena, store_text(q, 3)), *entry = view_number(v, last);
        today_add(t, &(struct today_line){
                         .what = TODAY_TWICE,
                         .about = entry,
                         .lot = lot[0] != '\0' ? lot : NULL,
                         .place = place[0] != '\0' ? place : NULL,
                         .with = today_with("entry", entry),
                         .sentence = SAY(v, "today.twice", place[0] != '\0' ? place : lot,
                                         view_number(v, store_int(q, 1)), entry,
                                         told_deviation(v->arena, v->lang, store_text(q, 4)))});
    }
}
