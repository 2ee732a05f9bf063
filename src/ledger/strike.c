#include "ledger/strike.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "ledger/fold.h"
#include "ledger/hold.h"
#include "ledger/touch.h"

struct maker {
    const char *effect;
    enum made_kind kind;
    size_t code, item, lot_kind; /* fields; 0: none */
};

static const struct maker makers[] = {
    {"lot", MADE_LOT, 2, 3, 4},           {"unit", MADE_UNIT, 2, 0, 0},
    {"run", MADE_RUN, 2, 0, 0},           {"sample", MADE_SAMPLE, 2, 0, 0},
    {"environment", MADE_OTHER, 0, 0, 0}, {"hold", MADE_OTHER, 0, 0, 0},
    {"deviation", MADE_OTHER, 0, 0, 0},   {"owed", MADE_OTHER, 0, 0, 0},
    {"task", MADE_OTHER, 0, 0, 0},
};

/* What is not taken back by a strike, and how it is changed. */
static const struct {
    const char *kinds, *instead;
} never[] = {
    {"person,place,instrument,item,partner", "tell it anew as it is now"},
    {"profile", "take in another"},
    {"release", "place a hold, which stops what it allowed"},
    {"set-aside", "settle it, saying what became of it"},
    {"strike", "tell anew what happened"},
    {"drop-piece,restored", "what it speaks of is gone"},
};

static const char *number(struct arena *a, int64_t n)
{
    return arena_printf(a, "%lld", (long long)n);
}

/* A replacement is caused by a strike and may be struck again; other conclusions go with their
 * cause. */
static struct result cause_allows(struct store *s, struct arena *a, const struct entry *e,
                                  const char *field)
{
    struct entry cause;
    bool found;
    if (e->cause == 0) {
        return RESULT_OK;
    }
    TRY(entry_by_seq(s, a, e->cause, &cause, &found));
    CHECK(found);
    bool replacement =
        strcmp(cause.kind, "strike") == 0 && !list_has("judged-again,scope", e->kind);
    return replacement ? RESULT_OK
                       : FAIL2(STRIKE_CAUSE, field, number(a, e->seq), number(a, e->cause));
}

struct result strike_takes(struct store *s, struct arena *a, const struct entry *e,
                           const char *field)
{
    int64_t striker;
    TRY(struck_by(s, e->seq, &striker));
    if (striker != 0) {
        return FAIL2(ENTRY_STRUCK, field, number(a, e->seq), number(a, striker));
    }
    for (size_t i = 0; i < sizeof never / sizeof never[0]; i++) {
        if (list_has(never[i].kinds, e->kind)) {
            return FAIL2(STRIKE_KIND, field, e->kind, never[i].instead);
        }
    }
    return cause_allows(s, a, e, field);
}

bool strike_is_own(const struct profile *p, const struct entry *e, int64_t person, int64_t now_ms)
{
    int64_t shift_ms = p != NULL ? p->shift_ms : INT64_MAX;
    return e->person == person && now_ms - e->recorded_ms <= shift_ms;
}

/* The effects go when the strike is released, what was made stays. */
static const char *field_copy(struct arena *a, const json_t *effect, size_t at)
{
    const char *text = at != 0 ? effect_text(effect, at) : NULL;
    return text != NULL ? arena_copy(a, text) : NULL;
}

static void add_made(struct strike *k, struct arena *a, const json_t *effect)
{
    for (size_t i = 0; i < sizeof makers / sizeof makers[0]; i++) {
        const struct maker *m = &makers[i];
        if (!effect_is(effect, m->effect)) {
            continue;
        }
        if (k->made_count % 64 == 0) {
            struct made *more = ARENA_ARRAY(a, struct made, k->made_count + 64);
            if (k->made_count > 0) {
                memcpy(more, k->made, k->made_count * sizeof *more);
            }
            k->made = more;
        }
        k->made[k->made_count++] = (struct made){.kind = m->kind,
                                                 .id = effect_int(effect, 1),
                                                 .code = field_copy(a, effect, m->code),
                                                 .item = field_copy(a, effect, m->item),
                                                 .lot_kind = field_copy(a, effect, m->lot_kind)};
    }
}

/* What the record itself concluded goes with its cause; a replacement of a correction stands on its
 * own. */
static struct result add_caused(struct store *s, struct id_set *entries)
{
    for (size_t i = 0; i < entries->count; i++) {
        struct statement *q = store_prepare(s, Q_DAYBOOK_CAUSED_BY);
        store_bind_int(q, 1, entries->id[i]);
        bool row;
        for (;;) {
            TRY(store_step(q, &row));
            if (!row) {
                break;
            }
            id_set_add(entries, store_int(q, 0));
        }
    }
    return RESULT_OK;
}

static int newest_first(const void *left, const void *right)
{
    int64_t x = *(const int64_t *)left, y = *(const int64_t *)right;
    return x < y ? 1 : x > y ? -1 : 0;
}

struct result strike_read(struct store *s, struct arena *a, const int64_t *entries, size_t count,
                          struct strike *out)
{
    *out = (struct strike){.entries = id_set_new(a)};
    for (size_t i = 0; i < count; i++) {
        id_set_add(&out->entries, entries[i]);
    }
    TRY(add_caused(s, &out->entries));
    int64_t *sorted = ARENA_ARRAY(a, int64_t, out->entries.count + 1);
    for (size_t i = 0; i < out->entries.count; i++) {
        sorted[i] = out->entries.id[i];
    }
    qsort(sorted, out->entries.count, sizeof *sorted, newest_first);
    out->list = ARENA_ARRAY(a, struct struck, out->entries.count + 1);
    for (size_t i = 0; i < out->entries.count; i++) {
        struct struck *one = &out->list[i];
        bool found;
        TRY(entry_by_seq(s, a, sorted[i], &one->entry, &found));
        if (!found) {
            return FAIL1(ENTRY_UNKNOWN, "entry", arena_printf(a, "%lld", (long long)sorted[i]));
        }
        TRY(entry_effects(&one->entry, &one->effects));
        out->count++;
        size_t k;
        json_t *effect;
        json_array_foreach(one->effects, k, effect)
        {
            add_made(out, a, effect);
        }
    }
    return RESULT_OK;
}

struct result strike_done(struct store *s, struct arena *a, int64_t strike, struct strike *out)
{
    struct id_set struck = id_set_new(a);
    struct statement *q = store_prepare(s, Q_STRUCK_ENTRIES);
    *out = (struct strike){0};
    store_bind_int(q, 1, strike);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return strike_read(s, a, struck.id, struck.count, out);
        }
        id_set_add(&struck, store_int(q, 0));
    }
}

void strike_release(struct strike *k)
{
    for (size_t i = 0; i < k->count; i++) {
        json_decref(k->list[i].effects);
        k->list[i].effects = NULL;
    }
}

static bool made_by(const struct strike *k, enum made_kind kind, int64_t id)
{
    for (size_t i = 0; i < k->made_count; i++) {
        if (k->made[i].kind == kind && k->made[i].id == id) {
            return true;
        }
    }
    return false;
}

bool strike_made_row(const struct strike *k, const json_t *set)
{
    int64_t row = effect_int(set, 1);
    if (effect_is(set, "release_revoked") || effect_is(set, "piece_dropped")) {
        return id_set_has(&k->entries, row);
    }
    if (effect_is(set, "unit_state") || effect_is(set, "unit_content")) {
        return made_by(k, MADE_UNIT, row);
    }
    if (effect_is(set, "run_end")) {
        return made_by(k, MADE_RUN, row);
    }
    bool of_lot =
        strncmp(effect_text(set, 0), "lot_", 4) == 0 || effect_is(set, "chamber_use_state");
    return made_by(k, of_lot ? MADE_LOT : MADE_OTHER, row);
}

/* What the struck entries moved of one lot in one unit. */
static struct below *moved_of(struct arena *a, struct below **list, size_t *count, int64_t lot,
                              const char *unit)
{
    for (size_t i = 0; i < *count; i++) {
        if ((*list)[i].lot == lot && strcmp((*list)[i].unit, unit) == 0) {
            return &(*list)[i];
        }
    }
    if (*count % 64 == 0) {
        struct below *more = ARENA_ARRAY(a, struct below, *count + 64);
        if (*count > 0) {
            memcpy(more, *list, *count * sizeof *more);
        }
        *list = more;
    }
    struct below *one = &(*list)[(*count)++];
    *one = (struct below){.lot = lot, .unit = arena_copy(a, unit)};
    return one;
}

struct result owed_open(struct store *s, int64_t lot, const char *unit, const struct id_set *but,
                        int64_t *out)
{
    struct statement *q = store_prepare(s, Q_OWED_OF_LOT);
    store_bind_int(q, 1, lot);
    store_bind_text(q, 2, unit);
    bool row;
    *out = 0;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (but == NULL || !id_set_has(but, store_int(q, 0))) {
            *out += store_int(q, 1);
        }
    }
}

static struct result balance_in(struct store *s, int64_t lot, const char *unit, int64_t *out)
{
    struct statement *q = store_prepare(s, Q_BALANCE_OF);
    store_bind_int(q, 1, lot);
    store_bind_text(q, 2, unit);
    bool row;
    TRY(store_step(q, &row));
    *out = row ? store_int(q, 0) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

void strike_moved(struct arena *a, const struct strike *k, struct below **out, size_t *out_count)
{
    *out = NULL;
    *out_count = 0;
    for (size_t i = 0; i < k->count; i++) {
        size_t n;
        json_t *effect;
        json_array_foreach(k->list[i].effects, n, effect)
        {
            if (effect_is(effect, "movement") && effect_int(effect, 2) != 0) {
                moved_of(a, out, out_count, effect_int(effect, 2), effect_text(effect, 4))
                    ->short_by += effect_int(effect, 5);
            }
        }
    }
}

struct result strike_below(struct store *s, struct arena *a, const struct strike *k,
                           struct below **out, size_t *out_count)
{
    struct below *moved;
    size_t count;
    strike_moved(a, k, &moved, &count);
    *out = moved;
    *out_count = 0;
    for (size_t i = 0; i < count; i++) {
        int64_t balance, owed;
        TRY(balance_in(s, moved[i].lot, moved[i].unit, &balance));
        TRY(owed_open(s, moved[i].lot, moved[i].unit, &k->entries, &owed));
        int64_t short_by = moved[i].short_by - balance - owed;
        if (short_by > 0 && !made_by(k, MADE_LOT, moved[i].lot)) {
            moved[*out_count] = moved[i]; /* never behind i */
            moved[(*out_count)++].short_by = short_by;
        }
    }
    return RESULT_OK;
}
