/* What positives, results, holds and releases ask for. */
#include <string.h>

#include "base/civil.h"
#include "ledger/evidence.h"
#include "service/today.h"

#define DAY_MS INT64_C(86400000)
enum { RESULTS_BACK_DAYS = 30 };

/* One positive: what of its scope is still here. */
struct positive {
    int64_t scope, lots, mg, at_ms;
    const char *sample, *organism, *lot, *first;
};

static void add_positive(struct today *t, const struct positive *p)
{
    struct view *v = t->v;
    if (p->lots == 0) {
        return;
    }
    const char *about = p->lot[0] != '\0' ? p->lot : p->first;
    today_add(t,
              &(struct today_line){.what = TODAY_POSITIVE,
                                   .about = p->sample,
                                   .lot = about,
                                   .by_ms = p->at_ms,
                                   .with = today_with("code", about),
                                   .sentence = SAY(v, "today.positive", p->organism, p->sample,
                                                   view_number(v, p->lots), view_mass(v, p->mg))});
}

struct result today_positives(struct today *t)
{
    struct arena *a = t->v->arena;
    struct positive p = {0};
    struct statement *q = store_prepare(t->v->store, Q_TODAY_POSITIVES);
    bool row;
    for (int64_t last = 0;;) {
        TRY(store_step(q, &row));
        if (!row || store_int(q, 0) != p.scope) {
            add_positive(t, &p);
            p = (struct positive){0};
            last = 0;
        }
        if (!row) {
            return RESULT_OK;
        }
        if (p.lots == 0) {
            p = (struct positive){.scope = store_int(q, 0),
                                  .at_ms = store_int(q, 4),
                                  .sample = arena_copy(a, store_text(q, 1)),
                                  .organism = arena_copy(a, store_text(q, 2)),
                                  .lot = arena_copy(a, store_text(q, 3)),
                                  .first = arena_copy(a, store_text(q, 6))};
        }
        if (store_int(q, 5) != last) {
            last = store_int(q, 5);
            p.lots++;
            p.mg += store_int(q, 7);
        }
    }
}

/* Samples at the laboratory: presumptive first, then by their age against what it takes. */
struct result today_results(struct today *t)
{
    struct view *v = t->v;
    const struct profile *p = v->profile;
    int64_t since;
    TRY(view_entry_since(v, v->now_ms - RESULTS_BACK_DAYS * DAY_MS, &since));
    struct statement *q = store_prepare(v->store, Q_TODAY_SAMPLES);
    store_bind_int(q, 1, since * LEDGER_IDS_PER_ENTRY);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        const char *sample = arena_copy(v->arena, store_text(q, 0)),
                   *lot = arena_copy(v->arena, store_text(q, 1)),
                   *place = arena_copy(v->arena, store_text(q, 2));
        int64_t taken_ms = store_int(q, 3), due_ms = taken_ms + p->lab_transit_ms + p->lab_time_ms;
        const char *about = lot[0] != '\0' ? lot : place,
                   *age = view_hours(v, v->now_ms - taken_ms);
        bool late = due_ms <= v->now_ms, presumptive = store_int(q, 4) != 0;
        today_add(t, &(struct today_line){
                         .what = presumptive ? TODAY_PRESUMPTIVE : TODAY_RESULT,
                         .about = sample,
                         .lot = lot[0] != '\0' ? lot : NULL,
                         .place = place[0] != '\0' ? place : NULL,
                         .by_ms = due_ms,
                         .tone = presumptive ? NULL
                                 : late      ? "due"
                                             : "waiting",
                         .with = today_with("sample", sample),
                         .sentence = presumptive ? SAY(v, "today.presumptive", sample, about)
                                     : late      ? SAY(v, "today.result-late", sample, about, age)
                                                 : SAY(v, "today.result", sample, about, age)});
    }
}

struct result today_decisions(struct today *t)
{
    struct view *v = t->v;
    struct statement *q = store_prepare(v->store, Q_TODAY_DECISIONS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        const char *hold = arena_copy(v->arena, store_text(q, 0));
        const char *lot = store_is_null(q, 4) ? NULL : arena_copy(v->arena, store_text(q, 4));
        today_add(t, &(struct today_line){.what = TODAY_DECIDE,
                                          .about = hold,
                                          .lot = lot,
                                          .with = today_with("hold", hold),
                                          .sentence =
                                              SAY(v, "today.decide", lot != NULL ? lot : "", hold,
                                                  words_reason(v->arena, v->lang, store_text(q, 2)),
                                                  view_clock(v, store_int(q, 3)))});
    }
}

struct waiting {
    int64_t id, mg;
    const char *code, *item, *markets;
    int32_t best_before;
};

/* The one clause that all unmet lines are of; NULL: there are several. */
static const char *last_clause(const struct clause_list *list)
{
    const char *only = NULL;
    for (size_t i = 0; i < list->line_count; i++) {
        const struct clause_line *line = &list->lines[i];
        if (line->state != CLAUSE_UNMET) {
            continue;
        }
        if (only != NULL && strcmp(only, line->clause) != 0) {
            return NULL;
        }
        only = line->clause;
    }
    return only;
}

static struct result look(struct today *t, const struct waiting *w, const char **out_clause)
{
    struct view *v = t->v;
    struct clause_list list;
    *out_clause = NULL;
    TRY(clauses_of_lot(v->store, v->profile, w->id, "", v->arena, &list));
    if (list.unmet > 0) {
        *out_clause = last_clause(&list);
        return RESULT_OK;
    }
    int64_t by_ms = 0;
    if (w->best_before != 0) {
        TRY(view_day_start(v, w->best_before, &by_ms));
    }
    today_add(t, &(struct today_line){
                     .what = TODAY_RELEASE,
                     .about = w->code,
                     .lot = w->code,
                     .by_ms = by_ms,
                     .with = today_with("lot", w->code),
                     .sentence = SAY(v, "today.release", w->code, view_mass(v, w->mg), w->item)});
    return RESULT_OK;
}

/* Lots with one clause missing, a line for each clause. */
static void add_clauses(struct today *t, const struct waiting *list, const char *const *clauses,
                        size_t count)
{
    struct view *v = t->v;
    for (size_t i = 0; i < count; i++) {
        int64_t lots = 0;
        bool first = true;
        for (size_t k = 0; k < count && clauses[i] != NULL; k++) {
            bool same = clauses[k] != NULL && strcmp(clauses[k], clauses[i]) == 0;
            first = first && !(same && k < i);
            lots += same;
        }
        if (lots == 0 || !first) {
            continue;
        }
        const char *title = words_of(v->arena, v->lang, "clause.", clauses[i], clauses[i]);
        today_add(t, &(struct today_line){
                         .what = TODAY_CLAUSE,
                         .about = clauses[i],
                         .lot = list[i].code,
                         .with = today_with("lot", list[i].code),
                         .sentence = lots == 1 ? SAY(v, "today.clause", list[i].code, title)
                                               : SAY(v, "today.clause-lots", view_number(v, lots),
                                                     title, list[i].code)});
    }
}

struct result today_releases(struct today *t)
{
    struct waiting *list = NULL;
    size_t count = 0;
    bool row;
    if (!today_wants(t, TODAY_RELEASE) && !today_wants(t, TODAY_CLAUSE)) {
        return RESULT_OK; /* clauses cost more than the rest together */
    }
    struct statement *q = store_prepare(t->v->store, Q_TODAY_UNRELEASED);
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        struct waiting *w = evidence_grow(t->v->arena, &list, &count, sizeof *list);
        *w = (struct waiting){.id = store_int(q, 0),
                              .code = arena_copy(t->v->arena, store_text(q, 1)),
                              .item = arena_copy(t->v->arena, store_text(q, 2)),
                              .mg = store_int(q, 3),
                              .best_before = (int32_t)store_int(q, 4),
                              .markets = arena_copy(t->v->arena, store_text(q, 5))};
    }
    const char **clauses = ARENA_ARRAY(t->v->arena, const char *, count + 1);
    for (size_t i = 0; i < count; i++) {
        TRY(look(t, &list[i], &clauses[i]));
    }
    add_clauses(t, list, clauses, count);
    return RESULT_OK;
}
