#include "service/view_ask.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/evidence.h"
#include "service/entry_row.h"
#include "service/story.h"
#include "service/view_inner.h"
#include "service/view_log.h"

enum naming { NONE, TEXT, DAY, SEQ };

static const struct kind {
    const char *about;
    enum naming of, with;
    enum query query;
    const char *calculation;
    bool adds;
} kinds[] = {
#define ASK(about, of, with, query, calculation, adds) {about, of, with, query, calculation, adds},
#include "service/ask.def"
#undef ASK
};

/* One amount that an entry booked. */
struct leg {
    int64_t entry, amount;
    const char *unit, *how, *instrument; /* instrument may be NULL */
    int decimals;                        /* the amount is in tenths of the unit, hundredths ... */
};

struct asking {
    struct view *v;
    const struct kind *kind;
    const char *of, *with; /* of: the whole list */
    struct leg *legs;
    size_t count;
};

static struct result kind_of(const struct view *v, const char *about, const struct kind **out)
{
    const char *all = "";
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (strcmp(kinds[i].about, about) == 0) {
            *out = &kinds[i];
            return RESULT_OK;
        }
        all = arena_printf(v->arena, "%s%s%s", all, i > 0 ? ", " : "", kinds[i].about);
    }
    return FAIL2(FIELD_CHOICE, "about", about, all);
}

static void add(struct asking *a, const struct leg *leg)
{
    struct leg *at = evidence_grow(a->v->arena, &a->legs, &a->count, sizeof *at);
    *at = *leg;
}

static struct result collect(struct asking *a, struct statement *q)
{
    struct arena *arena = a->v->arena;
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        static const char milli[] = "milli ";
        const char *unit = store_text(q, 1), *instrument = store_text(q, 4);
        bool is_milli = strncmp(unit, milli, sizeof milli - 1) == 0;
        add(a,
            &(struct leg){.entry = store_int(q, 0),
                          .unit = arena_copy(arena, is_milli ? unit + sizeof milli - 1 : unit),
                          .decimals = is_milli ? 3 : 0,
                          .amount = store_int(q, 2),
                          .how = arena_copy(arena, store_text(q, 3)),
                          .instrument = instrument != NULL ? arena_copy(arena, instrument) : NULL});
    }
}

/* Chambers that will be ready on a day; what is overdue is wanted today. */
static struct result add_ready(struct asking *a, int32_t day)
{
    struct view *v = a->v;
    struct chamber_run *runs;
    size_t count;
    int32_t now = view_day(v, v->now_ms);
    TRY(view_runs(v, &runs, &count));
    for (size_t i = 0; i < count; i++) {
        const struct crop *crop = profile_crop(v->profile, runs[i].item);
        struct lot lot;
        bool found;
        int64_t ready_ms = 0;
        if (crop != NULL) {
            TRY(chamber_due(v->profile, crop, &runs[i], v->now_ms, &ready_ms));
        }
        int32_t ready = ready_ms != 0 ? view_day(v, ready_ms) : day - 1;
        if (ready_ms == 0 || (ready > now ? ready : now) != day) {
            continue;
        }
        TRY(lot_by_id(v->store, v->arena, runs[i].lot, &lot, &found));
        if (found) {
            add(a, &(struct leg){.entry = lot.entry, .unit = "harvest", .amount = 1, .how = ""});
        }
    }
    return RESULT_OK;
}

static struct result collect_day(struct asking *a, int32_t day)
{
    int64_t from_ms, to_ms;
    TRY(view_day_start(a->v, day, &from_ms));
    TRY(view_day_start(a->v, day + 1, &to_ms));
    struct statement *q = store_prepare(a->v->store, Q_ASK_DAY);
    store_bind_int(q, 1, day);
    store_bind_int(q, 2, from_ms);
    store_bind_int(q, 3, to_ms);
    store_bind_int(q, 4, view_day(a->v, a->v->now_ms));
    TRY(collect(a, q));
    return add_ready(a, day);
}

static struct result read_seq(const char *text, int64_t *out)
{
    char *end;
    *out = strtoll(text, &end, 10);
    return text[0] != '\0' && *end == '\0' && *out > 0
               ? RESULT_OK
               : FAIL2(FIELD_TYPE, "of", "the number of an entry", text);
}

/* With which text a query is asked beside the code: loggers have names of their own. */
static const char *with_of(const struct asking *a, const char *code)
{
    const char *names[VIEW_LOG_NAMES];
    if (a->kind->query != Q_ASK_LOGGED) {
        return a->with;
    }
    view_log_names(a->v->arena, code, names);
    return names[VIEW_LOG_NAMES - 1];
}

static struct result collect_code(struct asking *a, const char *code)
{
    int32_t day = 0;
    int64_t seq = 0;
    if (a->kind->of == DAY) {
        TRY(day_read(code, "of", &day));
    } else if (a->kind->of == SEQ) {
        TRY(read_seq(code, &seq));
    }
    if (a->kind->query == Q_ASK_DAY) {
        return collect_day(a, day);
    }
    struct statement *q = store_prepare(a->v->store, a->kind->query);
    if (a->kind->of == DAY || a->kind->of == SEQ) {
        store_bind_int(q, 1, a->kind->of == DAY ? day : seq);
    } else {
        store_bind_text(q, 1, code);
    }
    store_bind_text(q, 2, with_of(a, code));
    return collect(a, q);
}

static struct result collect_all(struct asking *a)
{
    char code[256];
    size_t count = 0;
    if (a->kind->of == NONE) {
        return collect_code(a, "");
    }
    for (const char *at = a->of; list_next(&at, code, sizeof code); count++) {
        if (count == VIEW_ASK_CODES) {
            return FAIL2(FIELD_RANGE, "of", "longer", "a list of at most 200");
        }
        TRY(collect_code(a, arena_copy(a->v->arena, code)));
    }
    return count > 0 ? RESULT_OK : FAIL1(FIELD_MISSING, "of", "Say what is asked about.");
}

/* The newest entry first. */
static int by_entry(const void *left, const void *right)
{
    int64_t l = ((const struct leg *)left)->entry, r = ((const struct leg *)right)->entry;
    return l < r ? 1 : l > r ? -1 : 0;
}

static json_t *sums_json(const struct asking *a)
{
    json_t *sums = json_array();
    for (size_t i = 0; a->kind->adds && i < a->count; i++) {
        json_t *sum, *found = NULL;
        size_t at;
        if (a->legs[i].unit[0] == '\0') {
            continue;
        }
        json_array_foreach(sums, at, sum)
        {
            bool same =
                strcmp(json_string_value(json_object_get(sum, "unit")), a->legs[i].unit) == 0;
            found = same ? sum : found;
        }
        if (found == NULL) {
            found = json_pack("{s:s,s:i,s:i}", "unit", a->legs[i].unit, "amount", 0, "decimals",
                              a->legs[i].decimals);
            view_append(sums, found);
        }
        json_int_t before = json_integer_value(json_object_get(found, "amount"));
        view_put(found, "amount", json_integer(before + (json_int_t)a->legs[i].amount));
    }
    return sums;
}

static json_t *amounts_json(const struct asking *a, size_t from, size_t to)
{
    json_t *amounts = json_array();
    for (size_t i = from; i < to; i++) {
        const struct leg *leg = &a->legs[i];
        if (leg->unit[0] != '\0') {
            view_append(amounts,
                        json_pack("{s:s,s:I,s:i,s:o,s:o}", "unit", leg->unit, "amount",
                                  (json_int_t)leg->amount, "decimals", leg->decimals, "how",
                                  view_text(leg->how), "instrument", view_text(leg->instrument)));
        }
    }
    return amounts;
}

static struct result put_row(const struct asking *a, size_t from, size_t to, json_t *rows)
{
    struct entry e;
    bool found;
    json_t *row;
    TRY(entry_by_seq(a->v->store, a->v->arena, a->legs[from].entry, &e, &found));
    CHECK(found); /* a derived row names the entry that made it */
    TRY(entry_row(a->v, &e, NULL, &row));
    view_put(row, "amounts", amounts_json(a, from, to));
    view_append(rows, row);
    return RESULT_OK;
}

static struct result put_rows(const struct asking *a, json_t *rows, int64_t *out_entries)
{
    *out_entries = 0;
    for (size_t from = 0, to; from < a->count; from = to) {
        for (to = from + 1; to < a->count && a->legs[to].entry == a->legs[from].entry;) {
            to++;
        }
        if (++*out_entries <= VIEW_ASK_ROWS) {
            TRY(put_row(a, from, to, rows));
        }
    }
    return RESULT_OK;
}

struct result view_ask(struct view *v, const struct view_ask_question *question, json_t **out)
{
    struct asking a = {.v = v,
                       .of = question->of != NULL ? question->of : "",
                       .with = question->with != NULL ? question->with : ""};
    int64_t entries;
    TRY(kind_of(v, question->about, &a.kind));
    if (a.kind->with == NONE && a.with[0] != '\0') {
        return FAIL2(FIELD_RANGE, "with", a.with, "empty for this kind");
    }
    TRY(collect_all(&a));
    if (a.count > 0) {
        qsort(a.legs, a.count, sizeof *a.legs, by_entry);
    }
    json_t *rows = json_array();
    struct result r = put_rows(&a, rows, &entries);
    if (r.code != CODE_OK) {
        json_decref(rows);
        return r;
    }
    *out = json_pack("{s:s,s:s,s:o,s:s,s:o,s:b,s:I,s:o,s:o}", "about", a.kind->about, "of", a.of,
                     "with", view_text(a.with), "how",
                     words_of(v->arena, v->lang, "ask.how.", a.kind->about, ""), "calculation",
                     view_text(a.kind->calculation), "adds", a.kind->adds, "entries",
                     (json_int_t)entries, "sums", sums_json(&a), "rows", rows);
    CHECK(*out != NULL);
    return RESULT_OK;
}
