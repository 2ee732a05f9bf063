#include "service/story.h"

#include <stdlib.h>

#include "base/check.h"
#include "base/json.h"
#include "base/words.h"
#include "ledger/kin.h"

struct collecting {
    struct store *store;
    struct arena *arena;
    int64_t lot;
    const struct clause_list *clauses;
};

struct result told_finish(struct statement *q, bool row)
{
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static const char *keep(struct arena *a, const char *text)
{
    return text != NULL ? arena_copy(a, text) : NULL;
}

static struct result of_lots(struct collecting *t, struct told **told, size_t *count)
{
    struct statement *q = store_prepare(t->store, Q_DOSSIER_STORY);
    store_bind_int(q, 1, t->lot);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct told *last = *count > 0 ? &(*told)[*count - 1] : NULL;
        if (last != NULL && last->entry == store_int(q, 0)) {
            last->lots = arena_printf(t->arena, "%s, %s", last->lots, store_text(q, 5));
            continue;
        }
        struct told *one = evidence_grow(t->arena, told, count, sizeof **told);
        *one = (struct told){.entry = store_int(q, 0),
                             .kind = keep(t->arena, store_text(q, 1)),
                             .happened_ms = store_int(q, 2),
                             .offset_min = (int)store_int(q, 3),
                             .person = store_int(q, 4),
                             .lots = keep(t->arena, store_text(q, 5)),
                             .place = keep(t->arena, store_text(q, 6)),
                             .struck_by = store_int(q, 7)};
    }
}

static struct result of_clauses(struct collecting *t, struct told **told, size_t *count)
{
    struct id_set known = id_set_new(t->arena);
    for (size_t i = 0; i < *count; i++) {
        id_set_add(&known, (*told)[i].entry);
    }
    for (size_t i = 0; i < t->clauses->line_count; i++) {
        const struct clause_line *line = &t->clauses->lines[i];
        for (size_t k = 0; k < line->entry_count; k++) {
            if (!id_set_add(&known, line->entries[k])) {
                continue;
            }
            struct statement *q = store_prepare(t->store, Q_DOSSIER_ENTRY);
            store_bind_int(q, 1, line->entries[k]);
            bool row;
            TRY(store_step(q, &row));
            CHECK(row); /* a clause names entries of this daybook */
            struct told *one = evidence_grow(t->arena, told, count, sizeof **told);
            *one = (struct told){.entry = line->entries[k],
                                 .kind = keep(t->arena, store_text(q, 0)),
                                 .happened_ms = store_int(q, 1),
                                 .offset_min = (int)store_int(q, 2),
                                 .person = store_int(q, 3),
                                 .lots = "",
                                 .place = keep(t->arena, store_text(q, 4)),
                                 .struck_by = store_int(q, 5)};
            TRY(told_finish(q, row));
        }
    }
    return RESULT_OK;
}

static int by_time(const void *x, const void *y)
{
    const struct told *a = x, *b = y;
    if (a->happened_ms != b->happened_ms) {
        return a->happened_ms < b->happened_ms ? -1 : 1;
    }
    return a->entry < b->entry ? -1 : a->entry > b->entry;
}

struct result told_collect(struct store *s, struct arena *a, int64_t lot,
                           const struct clause_list *clauses, struct told **out, size_t *out_count)
{
    struct collecting c = {.store = s, .arena = a, .lot = lot, .clauses = clauses};
    *out = NULL;
    *out_count = 0;
    TRY(of_lots(&c, out, out_count));
    TRY(of_clauses(&c, out, out_count));
    if (*out_count > 0) {
        qsort(*out, *out_count, sizeof **out, by_time);
    }
    return RESULT_OK;
}

const char *told_deviation(struct arena *a, const char *lang, const char *stored)
{
    json_t *o = NULL;
    const char *text = stored;
    if (json_read_stored(stored, &o).code != CODE_OK) {
        return text;
    }
    const char *id = json_string_value(json_object_get(o, "code"));
    enum code code = id != NULL ? code_from_id(id) : CODE_COUNT;
    const json_t *v = json_object_get(o, "values");
    if (code != CODE_COUNT) {
        struct result r = result_make(code, json_string_value(json_object_get(o, "field")),
                                      json_string_value(json_array_get(v, 0)),
                                      json_string_value(json_array_get(v, 1)),
                                      json_string_value(json_array_get(v, 2)));
        text = result_sentence_in(a, lang, &r);
    }
    json_decref(o);
    return text;
}
