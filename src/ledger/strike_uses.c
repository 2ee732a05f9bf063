/* Who rests on what a strike would take away. */
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "ledger/fold.h"
#include "ledger/piece.h"
#include "ledger/strike.h"
#include "ledger/touch.h"

struct search {
    struct store *store;
    struct arena *arena;
    const struct strike *strike;
    struct id_set seen;
    struct dependants *out;
};

static void add(struct search *f, int64_t entry, const char *kind, const char *what)
{
    if (id_set_has(&f->strike->entries, entry) || !id_set_add(&f->seen, entry)) {
        return;
    }
    struct dependants *d = f->out;
    if (d->count % 64 == 0) {
        struct dependant *more = ARENA_ARRAY(f->arena, struct dependant, d->count + 64);
        if (d->count > 0) {
            memcpy(more, d->list, d->count * sizeof *more);
        }
        d->list = more;
    }
    d->list[d->count++] =
        (struct dependant){.entry = entry, .kind = arena_copy(f->arena, kind), .lot = what};
}

/* Queries give the entry and its kind. */
static struct result add_users(struct search *f, enum query query, int64_t id, const char *what)
{
    struct statement *q = store_prepare(f->store, query);
    store_bind_int(q, 1, id);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        add(f, store_int(q, 0), store_text(q, 1), what);
    }
}

/* Treatments judged by a struck piece of a log: making a like piece again does not judge them
 * again. */
static struct result add_readers(struct search *f)
{
    for (size_t i = 0; i < f->strike->count; i++) {
        size_t n;
        json_t *effect;
        json_array_foreach(f->strike->list[i].effects, n, effect)
        {
            struct id_set readers = id_set_new(f->arena);
            if (!effect_is(effect, "piece")) {
                continue;
            }
            struct piece p = {.series = arena_copy(f->arena, effect_text(effect, 1)),
                              .from_ms = effect_int(effect, 3),
                              .to_ms = effect_int(effect, 4)};
            TRY(piece_readers(f->store, &p, &readers));
            for (size_t k = 0; k < readers.count; k++) {
                struct entry e;
                bool found;
                TRY(entry_by_seq(f->store, f->arena, readers.id[k], &e, &found));
                add(f, readers.id[k], found ? e.kind : "", p.series);
            }
        }
    }
    return RESULT_OK;
}

static int by_entry(const void *left, const void *right)
{
    const struct dependant *x = left, *y = right;
    return x->entry < y->entry ? -1 : x->entry > y->entry;
}

static void sort(struct dependants *d)
{
    if (d->count > 0) {
        qsort(d->list, d->count, sizeof *d->list, by_entry);
    }
}

static struct search search_new(struct store *s, struct arena *a, const struct strike *k,
                                struct dependants *out)
{
    struct search f = {.store = s, .arena = a, .strike = k, .seen = id_set_new(a), .out = out};
    for (size_t i = 0; i < out->count; i++) {
        id_set_add(&f.seen, out->list[i].entry);
    }
    return f;
}

struct result strike_used(struct store *s, struct arena *a, const struct strike *k,
                          const struct id_set *again, struct dependants *out)
{
    static const enum query queries[] = {
        [MADE_LOT] = Q_STRIKE_USES_LOT,
        [MADE_UNIT] = Q_STRIKE_USES_UNIT,
        [MADE_RUN] = Q_STRIKE_USES_RUN,
        [MADE_SAMPLE] = Q_STRIKE_USES_SAMPLE,
    };
    struct search f = search_new(s, a, k, out);
    for (size_t i = 0; i < k->made_count; i++) {
        const struct made *m = &k->made[i];
        if (m->kind != MADE_OTHER && (again == NULL || !id_set_has(again, m->id))) {
            TRY(add_users(&f, queries[m->kind], m->id, m->code));
        }
    }
    TRY(add_readers(&f));
    sort(out);
    return RESULT_OK;
}

/* The second to last change of a row can't be undone without undoing the last. */
static struct result overtaken_by(struct search *f, const json_t *set, int64_t entry)
{
    struct statement *q = store_prepare(f->store, Q_STRIKE_CHANGED_LATER);
    const char *name = arena_copy(f->arena, effect_text(set, 0));
    store_bind_text(q, 1, name);
    store_bind_int(q, 2, effect_int(set, 1));
    store_bind_int(q, 3, entry);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        add(f, store_int(q, 0), store_text(q, 1), name);
    }
}

struct result strike_overtaken(struct store *s, struct arena *a, const struct strike *k,
                               struct dependants *out)
{
    struct search f = search_new(s, a, k, out);
    for (size_t i = 0; i < k->count; i++) {
        json_t *sets = json_array(), *set;
        CHECK(sets != NULL);
        fold_inverse(k->list[i].effects, sets);
        size_t n;
        struct result r = RESULT_OK;
        json_array_foreach(sets, n, set)
        {
            if (r.code == CODE_OK && !strike_made_row(k, set)) {
                r = overtaken_by(&f, set, k->list[i].entry.seq);
            }
        }
        json_decref(sets);
        TRY(r);
    }
    sort(out);
    return RESULT_OK;
}

struct result strike_dependants(struct store *s, struct arena *a, const int64_t *entries,
                                size_t count, struct dependants *out)
{
    struct strike k;
    *out = (struct dependants){0};
    struct result r = strike_read(s, a, entries, count, &k);
    if (r.code == CODE_OK) {
        r = strike_used(s, a, &k, NULL, out);
    }
    if (r.code == CODE_OK) {
        r = strike_overtaken(s, a, &k, out);
    }
    strike_release(&k);
    return r;
}

const char *dependants_text(struct arena *a, const struct dependants *d)
{
    enum { NAMED = 3 };
    const char *text = "";
    for (size_t i = 0; i < d->count && i < NAMED; i++) {
        const struct dependant *one = &d->list[i];
        text = arena_printf(a, "%s%s%lld %s (%s)", text, i > 0 ? ", " : "", (long long)one->entry,
                            one->kind, one->lot);
    }
    return d->count > NAMED ? arena_printf(a, "%s and %zu more", text, d->count - NAMED) : text;
}

json_t *dependants_json(const struct dependants *d)
{
    json_t *list = json_array();
    CHECK(list != NULL);
    for (size_t i = 0; i < d->count; i++) {
        json_array_append_new(list,
                              json_pack("{s:I,s:s,s:s}", "entry", (json_int_t)d->list[i].entry,
                                        "kind", d->list[i].kind, "lot", d->list[i].lot));
    }
    return list;
}
