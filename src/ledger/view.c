#include "ledger/view.h"

#include <string.h>

#include "base/check.h"

static const char *keep(struct arena *a, const char *text)
{
    return text != NULL ? arena_copy(a, text) : NULL;
}

static void read_lot(struct statement *q, struct arena *a, struct lot *out)
{
    *out = (struct lot){.id = store_int(q, 0),
                        .code = keep(a, store_text(q, 1)),
                        .item = keep(a, store_text(q, 2)),
                        .kind = keep(a, store_text(q, 3)),
                        .place = keep(a, store_text(q, 4)),
                        .born_ms = store_int(q, 5),
                        .day = (int32_t)store_int(q, 6),
                        .supplier = keep(a, store_text(q, 7)),
                        .supplier_code = keep(a, store_text(q, 8)),
                        .supplier_lot = store_int(q, 9),
                        .best_before = (int32_t)store_int(q, 10),
                        .markets = keep(a, store_text(q, 11)),
                        .closed_ms = store_int(q, 12),
                        .entry = store_int(q, 13)};
}

static struct result one_lot(struct statement *q, struct arena *a, struct lot *out, bool *out_found)
{
    TRY(store_step(q, out_found));
    if (*out_found) {
        read_lot(q, a, out);
    }
    store_done(q);
    return RESULT_OK;
}

struct result lot_by_code(struct store *s, struct arena *a, const char *code, struct lot *out,
                          bool *out_found)
{
    struct statement *q = store_prepare(s, Q_LOT_BY_CODE);
    store_bind_text(q, 1, code);
    return one_lot(q, a, out, out_found);
}

struct result lot_by_id(struct store *s, struct arena *a, int64_t id, struct lot *out,
                        bool *out_found)
{
    struct statement *q = store_prepare(s, Q_LOT_BY_ID);
    store_bind_int(q, 1, id);
    return one_lot(q, a, out, out_found);
}

struct result lot_named(struct draft *d, const json_t *object, const char *key, const char *path,
                        struct lot *out)
{
    const char *code = NULL;
    bool found;
    TRY(json_get_text(object, key, path, JSON_NEEDED, &code));
    TRY(lot_by_code(d->store, d->arena, code, out, &found));
    return found ? RESULT_OK : FAIL1(LOT_UNKNOWN, path, code);
}

struct result lot_in_chamber(struct draft *d, const char *chamber, const char *path,
                             struct lot *out)
{
    bool found;
    struct statement *q = store_prepare(d->store, Q_LOT_IN_CHAMBER);
    store_bind_text(q, 1, chamber);
    TRY(one_lot(q, d->arena, out, &found));
    return found ? RESULT_OK : FAIL1(CHAMBER_EMPTY, path, chamber);
}

struct result place_by_code(struct store *s, struct arena *a, const char *code, struct place *out,
                            bool *out_found)
{
    struct statement *q = store_prepare(s, Q_PLACE_BY_CODE);
    store_bind_text(q, 1, code);
    TRY(store_step(q, out_found));
    if (*out_found) {
        *out = (struct place){.code = keep(a, store_text(q, 0)),
                              .name = keep(a, store_text(q, 1)),
                              .kind = keep(a, store_text(q, 2)),
                              .class_ = keep(a, store_text(q, 3)),
                              .parent = keep(a, store_text(q, 4)),
                              .capacity_mg = store_int(q, 5),
                              .in_service = store_int(q, 6) != 0};
    }
    store_done(q);
    return RESULT_OK;
}

struct result place_in_use(struct store *s, struct arena *a, const char *place, int64_t from_ms,
                           int64_t to_ms, const char **out_lot)
{
    struct statement *q = store_prepare(s, Q_PLACE_IN_USE);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, from_ms);
    store_bind_int(q, 3, to_ms);
    bool row;
    TRY(store_step(q, &row));
    *out_lot = row ? arena_copy(a, store_text(q, 0)) : NULL;
    store_done(q);
    return RESULT_OK;
}

struct result place_named(struct draft *d, const char *key, enum json_need need, struct place *out)
{
    const char *code = NULL;
    bool found;
    *out = (struct place){0};
    TRY(json_get_text(d->cmd->body, key, key, need, &code));
    if (code == NULL) {
        return RESULT_OK;
    }
    TRY(place_by_code(d->store, d->arena, code, out, &found));
    if (!found) {
        return FAIL1(PLACE_UNKNOWN, key, code);
    }
    const struct profile_step *step = d->cmd->step;
    if (step != NULL && step->place_kinds[0] != '\0' && !list_has(step->place_kinds, out->kind)) {
        return FAIL3(PLACE_KIND, key, code, out->kind, step->place_kinds);
    }
    if (!out->in_service) {
        TRY(draft_break(d, "place-out-of-service", 0, code, 0, 0, FAIL1(PLACE_OUT, key, code)));
    }
    return RESULT_OK;
}

/* The newest calibration at that moment or before it. */
static struct result calibrated_on(struct store *s, const char *code, int64_t at_ms,
                                   struct instrument *out)
{
    struct statement *q = store_prepare(s, Q_CALIBRATIONS_OF);
    store_bind_text(q, 1, code);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        int64_t calibrated_ms = store_int(q, 0);
        if (calibrated_ms <= at_ms) {
            bool good = store_int(q, 1) != 0;
            out->uncertainty = store_int(q, 2);
            out->due_ms = good ? store_int(q, 3) : calibrated_ms - 1;
            store_done(q);
            return RESULT_OK;
        }
    }
}

struct result instrument_on(struct store *s, struct arena *a, const char *code, int64_t at_ms,
                            struct instrument *out, bool *out_found)
{
    struct statement *q = store_prepare(s, Q_INSTRUMENT_BY_CODE);
    store_bind_text(q, 1, code);
    TRY(store_step(q, out_found));
    if (*out_found) {
        *out = (struct instrument){.code = keep(a, store_text(q, 0)),
                                   .kind = keep(a, store_text(q, 1)),
                                   .place = keep(a, store_text(q, 2)),
                                   .division = store_int(q, 3),
                                   .uncertainty = store_int(q, 4),
                                   .due_ms = store_int(q, 5)};
    }
    store_done(q);
    return *out_found ? calibrated_on(s, code, at_ms, out) : RESULT_OK;
}

struct result item_by_code(struct store *s, struct arena *a, const char *code, struct item *out,
                           bool *out_found)
{
    struct statement *q = store_prepare(s, Q_ITEM_BY_CODE);
    store_bind_text(q, 1, code);
    TRY(store_step(q, out_found));
    if (*out_found) {
        *out = (struct item){.code = keep(a, store_text(q, 0)),
                             .name = keep(a, store_text(q, 1)),
                             .kind = keep(a, store_text(q, 2)),
                             .family = keep(a, store_text(q, 3)),
                             .allergens = keep(a, store_text(q, 4)),
                             .net_mg = store_int(q, 5),
                             .pieces_per_case = store_int(q, 6),
                             .gtin = keep(a, store_text(q, 7)),
                             .life_days = store_int(q, 8),
                             .source_item = keep(a, store_text(q, 9))};
    }
    store_done(q);
    return RESULT_OK;
}

struct result partner_by_code(struct store *s, struct arena *a, const char *code,
                              struct partner *out, bool *out_found)
{
    struct statement *q = store_prepare(s, Q_PARTNER_BY_CODE);
    store_bind_text(q, 1, code);
    TRY(store_step(q, out_found));
    if (*out_found) {
        *out = (struct partner){.code = keep(a, store_text(q, 0)),
                                .role = keep(a, store_text(q, 1)),
                                .group = keep(a, store_text(q, 2)),
                                .market = keep(a, store_text(q, 3)),
                                .life_days = store_int(q, 4),
                                .priority = store_int(q, 5)};
    }
    store_done(q);
    return RESULT_OK;
}

struct result person_role(struct store *s, struct arena *a, int64_t number, const char **out_role,
                          bool *out_active, bool *out_found)
{
    struct statement *q = store_prepare(s, Q_PERSON_BY_NUMBER);
    store_bind_int(q, 1, number);
    TRY(store_step(q, out_found));
    *out_role = NULL;
    *out_active = false;
    if (*out_found) {
        *out_role = keep(a, store_text(q, 0));
        *out_active = store_int(q, 1) != 0;
    }
    store_done(q);
    return RESULT_OK;
}

struct result balance_of(struct store *s, int64_t lot, enum amount_unit unit, int64_t *out)
{
    static const char *const names[] = {"mg", "pc", "mL"};
    struct statement *q = store_prepare(s, Q_BALANCE_OF);
    store_bind_int(q, 1, lot);
    store_bind_text(q, 2, names[unit]);
    bool row;
    TRY(store_step(q, &row));
    *out = row ? store_int(q, 0) : 0;
    store_done(q);
    return RESULT_OK;
}

struct result run_by_code(struct store *s, struct arena *a, const char *code, struct run *out,
                          bool *out_found)
{
    struct statement *q = store_prepare(s, Q_RUN_BY_CODE);
    store_bind_text(q, 1, code);
    TRY(store_step(q, out_found));
    if (*out_found) {
        *out = (struct run){.id = store_int(q, 0),
                            .code = keep(a, store_text(q, 1)),
                            .place = keep(a, store_text(q, 2)),
                            .family = keep(a, store_text(q, 3)),
                            .allergens = keep(a, store_text(q, 4)),
                            .start_ms = store_int(q, 5),
                            .end_ms = store_int(q, 6),
                            .carry_ms = store_is_null(q, 7) ? -1 : store_int(q, 7)};
    }
    store_done(q);
    return RESULT_OK;
}

struct result holds_on(struct store *s, struct arena *a, int64_t lot, int64_t unit,
                       const char *stop, struct hold **out, size_t *out_count)
{
    enum {
        HOLDS_MAX = 256
    }; /* more reasons than that on one lot would be a fault of the house, not of the list */
    struct hold found[HOLDS_MAX];
    struct statement *q = store_prepare(s, Q_HOLDS_ON);
    store_bind_int(q, 1, lot);
    store_bind_int(q, 2, unit);
    *out_count = 0;
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        if (*out_count < HOLDS_MAX && (stop[0] == '\0' || list_has(store_text(q, 3), stop))) {
            found[(*out_count)++] = (struct hold){.id = store_int(q, 0),
                                                  .code = keep(a, store_text(q, 1)),
                                                  .kind = keep(a, store_text(q, 2)),
                                                  .stops = keep(a, store_text(q, 3)),
                                                  .needs = keep(a, store_text(q, 4)),
                                                  .reason = keep(a, store_text(q, 5)),
                                                  .placed_ms = store_int(q, 6)};
        }
    }
    *out = ARENA_ARRAY(a, struct hold, *out_count > 0 ? *out_count : 1);
    if (*out_count > 0) {
        memcpy(*out, found, *out_count * sizeof found[0]);
    }
    return RESULT_OK;
}

struct result limit_in_force(struct store *s, const struct profile *p, const char *name,
                             const char *item, int64_t at_ms, struct limit *out)
{
    const struct limit *base = profile_limit(p, name, item);
    *out = base != NULL ? *base : (struct limit){.name = name, .item = "*", .unit = ""};
    struct statement *q = store_prepare(s, Q_LIMIT_CHANGES);
    store_bind_text(q, 1, name);
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (store_int(q, 2) <= at_ms) {
            out->has_low = !store_is_null(q, 0);
            out->low = store_int(q, 0);
            out->has_high = !store_is_null(q, 1);
            out->high = store_int(q, 1);
            store_done(q);
            return RESULT_OK;
        }
    }
}
