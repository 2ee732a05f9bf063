#include "ledger/scope.h"

#include <string.h>

#include "ledger/evidence.h"
#include "ledger/view.h"

#define STEP_LONGEST_MS (INT64_C(2) * 24 * 3600 * 1000) /* a step at a line is told within that */

struct finder {
    struct store *store;
    struct arena *arena;
    const struct profile *profile;
    struct scope_lots *out;
    struct id_set touching; /* lots that may have left the organism on a surface */
};

const char *scope_why_text(enum scope_why why)
{
    static const char *const texts[] = {"batch", "seed", "same-seed", "surface", "water"};
    return texts[why];
}

/* Adds those of a set that are of one of the kinds (comma list). */
static struct result add_kinds(const struct finder *f, const struct id_set *from, const char *kinds,
                               struct id_set *to)
{
    for (size_t i = 0; i < from->count; i++) {
        struct lot lot;
        bool found;
        TRY(lot_by_id(f->store, f->arena, from->id[i], &lot, &found));
        if (found && list_has(kinds, lot.kind)) {
            id_set_add(to, lot.id);
        }
    }
    return RESULT_OK;
}

static void add_except(const struct id_set *from, const struct id_set *but, struct id_set *to)
{
    for (size_t i = 0; i < from->count; i++) {
        if (!id_set_has(but, from->id[i])) {
            id_set_add(to, from->id[i]);
        }
    }
}

/* The sampled lot, the batches in it, and everything made from these. */
static struct result find_batch(struct finder *f, int64_t lot, const struct id_set *back)
{
    struct id_set *batch = &f->out->lots[WHY_BATCH];
    TRY(add_kinds(f, back, "growing", batch));
    struct lot row;
    bool found;
    TRY(lot_by_id(f->store, f->arena, lot, &row, &found));
    if (found && !list_has("seed,supplier", row.kind)) {
        id_set_add(batch, lot);
    }
    TRY(kin_onward(f->store, batch));
    for (size_t i = 0; i < batch->count; i++) {
        id_set_add(&f->touching, batch->id[i]);
    }
    return add_kinds(f, back, "load", &f->touching);
}

/* The seed lots behind, all deliveries of their supplier lots, and those supplier lots, so that
 * what is delivered of them later is born held. */
static struct result find_seed(struct finder *f, const struct id_set *back)
{
    struct id_set *seed = &f->out->lots[WHY_SEED];
    TRY(add_kinds(f, back, "seed", seed));
    size_t own = seed->count;
    for (size_t i = 0; i < own; i++) {
        struct lot lot;
        bool row;
        TRY(lot_by_id(f->store, f->arena, seed->id[i], &lot, &row));
        if (!row || lot.supplier_lot == 0) {
            continue;
        }
        id_set_add(seed, lot.supplier_lot);
        struct statement *q = store_prepare(f->store, Q_SCOPE_DELIVERIES);
        store_bind_int(q, 1, lot.supplier_lot);
        for (;;) {
            TRY(store_step(q, &row));
            if (!row) {
                break;
            }
            id_set_add(seed, store_int(q, 0));
        }
    }
    struct id_set all = id_set_new(f->arena);
    for (size_t i = 0; i < seed->count; i++) {
        id_set_add(&all, seed->id[i]);
    }
    TRY(kin_onward(f->store, &all));
    for (size_t i = 0; i < all.count; i++) {
        if (!id_set_has(seed, all.id[i]) && !id_set_has(&f->out->lots[WHY_BATCH], all.id[i])) {
            id_set_add(&f->out->lots[WHY_SAME_SEED], all.id[i]);
        }
    }
    return RESULT_OK;
}

struct stay {
    const char *place;
    int64_t from_ms, to_ms;
};

static struct result stays_of(struct finder *f, int64_t lot, struct stay **out, size_t *out_count)
{
    struct statement *q = store_prepare(f->store, Q_EVIDENCE_CONTACTS);
    store_bind_int(q, 1, lot);
    store_bind_int(q, 2, EVIDENCE_OPEN_MS);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (store_is_null(q, 2)) {
            continue;
        }
        struct stay *s = evidence_grow(f->arena, out, out_count, sizeof *s);
        int64_t start_ms = store_int(q, 6), from_ms = store_int(q, 7);
        *s = (struct stay){.place = arena_copy(f->arena, store_text(q, 2)),
                           .from_ms = start_ms < from_ms ? start_ms : from_ms,
                           .to_ms = store_int(q, 8)};
    }
}

static struct result is_surface(struct finder *f, const char *code, bool *out)
{
    struct place place;
    bool found;
    TRY(place_by_code(f->store, f->arena, code, &place, &found));
    *out = found && profile_surface(f->profile, place.kind) != NULL;
    return RESULT_OK;
}

/* When the place was next validly clean; EVIDENCE_OPEN_MS: it was not yet. */
static struct result clean_after(struct finder *f, const char *place, int64_t at_ms, int64_t *out)
{
    struct statement *q = store_prepare(f->store, Q_SCOPE_CLEAN_AFTER);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, at_ms);
    *out = EVIDENCE_OPEN_MS;
    for (;;) {
        const char *lot;
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t end_ms = store_int(q, 1);
        TRY(place_in_use(f->store, f->arena, place, store_int(q, 0), end_ms, &lot));
        if (lot == NULL) { /* product told of later may have been there meanwhile */
            *out = end_ms;
            return RESULT_OK;
        }
    }
}

/* Of the rows of a query whose first column is a lot, and whose columns from one on are when it
 * came and when it went. */
static struct result add_sharers(const struct finder *f, const struct stay *stay, int64_t clean_ms,
                                 struct statement *q, int column, struct id_set *to)
{
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t lot = store_int(q, 0), from_ms = store_int(q, column);
        bool after = store_int(q, column + 1) > stay->from_ms || from_ms >= stay->from_ms;
        if (after && from_ms < clean_ms && !id_set_has(&f->touching, lot)) {
            id_set_add(to, lot);
        }
    }
}

/* Who else was on the place from the stay's begin until it was clean again. */
static struct result sharers(struct finder *f, const struct stay *stay, struct id_set *to)
{
    int64_t clean_ms;
    TRY(clean_after(f, stay->place, stay->to_ms, &clean_ms));
    struct statement *q = store_prepare(f->store, Q_SCOPE_USES);
    store_bind_text(q, 1, stay->place);
    store_bind_int(q, 2, stay->from_ms - STEP_LONGEST_MS);
    store_bind_int(q, 3, clean_ms);
    TRY(add_sharers(f, stay, clean_ms, q, 1, to));
    q = store_prepare(f->store, Q_EVIDENCE_CHAMBER_USES);
    store_bind_text(q, 1, stay->place);
    store_bind_int(q, 2, clean_ms);
    store_bind_int(q, 3, EVIDENCE_OPEN_MS);
    store_bind_int(q, 4, INT64_MIN); /* what counts is looked at there */
    return add_sharers(f, stay, clean_ms, q, 3, to);
}

static void note_place(struct finder *f, const char *place)
{
    for (size_t i = 0; i < f->out->place_count; i++) {
        if (strcmp(f->out->places[i], place) == 0) {
            return;
        }
    }
    const char **added =
        evidence_grow(f->arena, &f->out->places, &f->out->place_count, sizeof *added);
    *added = place;
}

static struct result find_surface(struct finder *f)
{
    struct id_set shared = id_set_new(f->arena);
    for (size_t i = 0; i < f->touching.count; i++) {
        struct stay *stays = NULL;
        size_t count = 0;
        TRY(stays_of(f, f->touching.id[i], &stays, &count));
        for (size_t k = 0; k < count; k++) {
            bool surface;
            TRY(is_surface(f, stays[k].place, &surface));
            if (surface) {
                note_place(f, stays[k].place);
                TRY(sharers(f, &stays[k], &shared));
            }
        }
    }
    TRY(kin_onward(f->store, &shared));
    add_except(&shared, &f->out->lots[WHY_BATCH], &f->out->lots[WHY_SURFACE]);
    return RESULT_OK;
}

struct draw {
    int64_t lot, at_ms;
    const char *source;
};

/* Every watering of the house from a moment on, with its source. */
static struct result draws_since(struct finder *f, const struct evidence *e, int64_t from_ms,
                                 struct draw **out, size_t *out_count)
{
    for (size_t i = 0; i < e->place_count; i++) {
        struct statement *q = store_prepare(f->store, Q_SCOPE_WATERINGS);
        store_bind_text(q, 1, e->places[i].code);
        store_bind_int(q, 2, from_ms);
        bool row;
        for (;;) {
            TRY(store_step(q, &row));
            if (!row) {
                break;
            }
            json_t *data = NULL;
            TRY(json_read_stored(store_text(q, 1), &data));
            const char *source = json_string_value(json_object_get(data, "source"));
            struct draw *d = evidence_grow(f->arena, out, out_count, sizeof *d);
            *d = (struct draw){.lot = store_int(q, 0),
                               .at_ms = store_int(q, 2),
                               .source = source != NULL ? arena_copy(f->arena, source) : ""};
            json_decref(data);
        }
    }
    return RESULT_OK;
}

/* What left a batch with its spent water comes back with the next draw from the same water, until
 * that system is clean again. */
static struct result find_water(struct finder *f, const struct evidence *e)
{
    struct id_set shared = id_set_new(f->arena);
    int64_t first_ms = INT64_MAX;
    for (size_t i = 0; i < e->watering_count; i++) {
        first_ms = e->waterings[i].at_ms < first_ms ? e->waterings[i].at_ms : first_ms;
    }
    struct draw *draws = NULL;
    size_t count = 0;
    TRY(draws_since(f, e, first_ms, &draws, &count));
    for (size_t i = 0; i < e->watering_count; i++) {
        const struct evidence_watering *w = &e->waterings[i];
        const struct evidence_place *source = evidence_place(e, w->source);
        if (source == NULL || strcmp(source->class_, "recirculated") != 0 ||
            !id_set_has(&f->out->lots[WHY_BATCH], e->lots[w->lot].id)) {
            continue;
        }
        int64_t clean_ms;
        TRY(clean_after(f, source->code, w->at_ms, &clean_ms));
        for (size_t k = 0; k < count; k++) {
            if (draws[k].at_ms >= w->at_ms && draws[k].at_ms < clean_ms &&
                strcmp(draws[k].source, source->code) == 0) {
                id_set_add(&shared, draws[k].lot);
            }
        }
    }
    TRY(kin_onward(f->store, &shared));
    add_except(&shared, &f->out->lots[WHY_BATCH], &f->out->lots[WHY_WATER]);
    return RESULT_OK;
}

struct result scope_find(struct store *s, const struct profile *p, struct arena *a, int64_t lot,
                         struct scope_lots *out)
{
    *out = (struct scope_lots){0};
    for (int i = 0; i < WHY_COUNT; i++) {
        out->lots[i] = id_set_new(a);
    }
    struct finder f = {.store = s, .arena = a, .profile = p, .out = out, .touching = id_set_new(a)};
    struct id_set back = id_set_new(a);
    id_set_add(&back, lot);
    TRY(kin_back(s, &back));
    TRY(find_batch(&f, lot, &back));
    TRY(find_seed(&f, &back));
    TRY(find_surface(&f));
    struct evidence e;
    TRY(evidence_collect(s, a, lot, &e));
    return find_water(&f, &e);
}
