#include "ledger/judge.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "ledger/hold.h"

static void *grown(struct arena *a, void *list, size_t count, size_t size)
{
    if (count % 64 != 0) {
        return list;
    }
    void *more = arena_array(a, count + 64, size);
    if (count > 0) {
        memcpy(more, list, count * size);
    }
    return more;
}

static int by_release(const void *left, const void *right)
{
    const struct resting *x = left, *y = right;
    return x->release < y->release ? -1 : x->release > y->release;
}

struct result releases_of(struct store *s, struct arena *a, const struct id_set *lots,
                          int64_t after_ms, struct resting **out, size_t *out_count)
{
    *out = NULL;
    *out_count = 0;
    for (size_t i = 0; i < lots->count; i++) {
        struct statement *q = store_prepare(s, Q_JUDGE_RELEASES);
        store_bind_int(q, 1, lots->id[i]);
        store_bind_int(q, 2, after_ms);
        bool row;
        for (;;) {
            TRY(store_step(q, &row));
            if (!row) {
                break;
            }
            *out = grown(a, *out, *out_count, sizeof **out);
            (*out)[(*out_count)++] = (struct resting){.release = store_int(q, 0),
                                                      .lot = lots->id[i],
                                                      .decided_ms = store_int(q, 1),
                                                      .markets = arena_copy(a, store_text(q, 2)),
                                                      .clauses = arena_copy(a, store_text(q, 3))};
        }
    }
    if (*out_count > 0) {
        qsort(*out, *out_count, sizeof **out, by_release);
    }
    return RESULT_OK;
}

/* The lists of entries behind the lines of a release's clauses. */
static bool names_any(const char *clauses, const struct id_set *entries)
{
    json_t *lines = NULL, *line, *entry;
    size_t i, k;
    bool names = false;
    if (json_read_stored(clauses, &lines).code != CODE_OK) {
        return true; /* what can't be read can't be shown not to rest on it */
    }
    json_array_foreach(lines, i, line)
    {
        json_t *list = json_object_get(line, "entries");
        json_array_foreach(list, k, entry)
        {
            names = names || id_set_has(entries, json_integer_value(entry));
        }
    }
    json_decref(lines);
    return names;
}

bool resting_names(const struct resting *r, const struct id_set *entries)
{
    return entries->count > 0 && names_any(r->clauses, entries);
}

struct result releases_naming(struct store *s, struct arena *a, int64_t entry, struct id_set *lots)
{
    struct id_set one = id_set_new(a);
    id_set_add(&one, entry);
    struct statement *q = store_prepare(s, Q_JUDGE_NAMING);
    store_bind_int(q, 1, entry);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (names_any(store_text(q, 1), &one)) {
            id_set_add(lots, store_int(q, 0));
        }
    }
}

struct result gone_of(struct store *s, struct arena *a, int64_t lot, struct gone **out,
                      size_t *out_count)
{
    struct statement *q = store_prepare(s, Q_SCOPE_CUSTOMERS);
    store_bind_int(q, 1, lot);
    *out = NULL;
    *out_count = 0;
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        *out = grown(a, *out, *out_count, sizeof **out);
        (*out)[(*out_count)++] = (struct gone){.customer = arena_copy(a, store_text(q, 0)),
                                               .pieces = store_int(q, 1),
                                               .mg = store_int(q, 2)};
    }
}

static void add_need(struct arena *a, struct judged *j, const char *need)
{
    if (!list_has(j->needs, need)) {
        j->needs = arena_printf(a, "%s%s%s", j->needs, j->needs[0] != '\0' ? "," : "", need);
    }
}

static void add_open(struct judged *j, const struct result *why)
{
    json_t *line =
        json_pack("{s:s,s:s,s:s,s:[s,s,s]}", "state", "unmet", "code", code_id(why->code), "field",
                  why->field, "values", why->value[0], why->value[1], why->value[2]);
    CHECK(line != NULL);
    json_array_append_new(j->open, line);
}

static struct result judge_clauses(struct store *s, const struct profile *p, struct arena *a,
                                   struct judged *j)
{
    struct clause_list list;
    TRY(clauses_of_lot(s, p, j->was.lot, j->was.markets, a, &list));
    json_t *lines = clauses_json(&list), *line;
    size_t i;
    json_array_foreach(lines, i, line)
    {
        if (strcmp(json_string_value(json_object_get(line, "state")), "unmet") == 0) {
            add_need(a, j, json_string_value(json_object_get(line, "clause")));
            json_array_append(j->open, line);
        }
    }
    json_decref(lines);
    return RESULT_OK;
}

static struct result judge_one(struct store *s, const struct profile *p, struct arena *a,
                               const struct id_set *void_entries, const struct result *reason,
                               struct judged *j)
{
    struct lot lot;
    bool found;
    TRY(lot_by_id(s, a, j->was.lot, &lot, &found));
    j->code = found ? lot.code : "";
    if (found) {
        TRY(judge_clauses(s, p, a, j));
    } else {
        struct result gone = FAIL1(LOT_STRUCK, "", arena_printf(a, "%lld", (long long)j->was.lot));
        add_open(j, &gone);
    }
    if (void_entries != NULL && resting_names(&j->was, void_entries)) {
        add_need(a, j, "paper");
        add_open(j, reason);
    }
    j->met = json_array_size(j->open) == 0;
    TRY(lot_is_here(s, j->was.lot, &j->here));
    return gone_of(s, a, j->was.lot, &j->gone, &j->gone_count);
}

struct result judge_again(struct store *s, const struct profile *p, struct arena *a,
                          const struct resting *list, size_t count,
                          const struct id_set *void_entries, const struct result *reason,
                          struct judged **out)
{
    struct judged *judged = ARENA_ARRAY(a, struct judged, count + 1);
    *out = judged;
    for (size_t i = 0; i < count; i++) {
        judged[i] = (struct judged){.was = list[i], .code = "", .needs = "", .open = json_array()};
        CHECK(judged[i].open != NULL);
        struct result r = judge_one(s, p, a, void_entries, reason, &judged[i]);
        if (r.code != CODE_OK) {
            judged_release(judged, i + 1);
            return r;
        }
    }
    return RESULT_OK;
}

void judged_release(struct judged *list, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        json_decref(list[i].open);
        list[i].open = NULL;
    }
}
