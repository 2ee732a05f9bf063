#include "ledger/touch.h"

#include <string.h>

#define DAY_MS INT64_C(86400000)
#define CLEAN_COUNTS_MS (60 * DAY_MS)

/* Where an effect names lots. */
struct lot_field {
    const char *effect;
    size_t at[2]; /* 0: none */
};

static const struct lot_field lot_fields[] = {
    {"lot", {1, 0}},
    {"movement", {2, 0}},
    {"edge", {1, 2}},
    {"unit", {5, 0}},
    {"packed", {1, 0}},
    {"step", {8, 0}},
    {"step_lot", {2, 0}},
    {"chamber_use", {1, 0}},
    {"seed_test", {1, 0}},
    {"seed_state", {1, 0}},
    {"treatment", {1, 0}},
    {"sample", {3, 0}},
    {"reading", {4, 0}},
    {"shipped", {2, 0}},
    {"paper", {3, 0}},
    {"lot_place", {1, 0}},
    {"lot_markets", {1, 0}},
    {"lot_closed", {1, 0}},
    {"chamber_use_state", {1, 0}},
};

/* Where an effect speaks of a place, and how long about its moment that may have mattered there. */
struct place_field {
    const char *effect;
    size_t place, lot,
        at; /* lot: where it names one it is about that and not the place; 0: never */
    int64_t before_ms, after_ms;
};

/* A clean counts until the next one, at the latest when a chamber is emptied; a water result for
 * the time its clause gives it, an action on the environment until it is closed: each a little
 * longer than any of these. */
static const struct place_field place_fields[] = {
    {"clean", 1, 0, 3, 0, CLEAN_COUNTS_MS},
    {"reading", 3, 4, 11, 2 * DAY_MS, 2 * DAY_MS},
    {"sample", 4, 3, 7, 60 * DAY_MS, 60 * DAY_MS},
    {"environment", 2, 0, 4, 60 * DAY_MS, 60 * DAY_MS},
};

int64_t effect_int(const json_t *effect, size_t at)
{
    return json_integer_value(json_array_get(effect, at));
}

const char *effect_text(const json_t *effect, size_t at)
{
    return json_string_value(json_array_get(effect, at));
}

bool effect_is(const json_t *effect, const char *name)
{
    const char *is = effect_text(effect, 0);
    return is != NULL && strcmp(is, name) == 0;
}

struct result entry_effects(const struct entry *e, json_t **out)
{
    json_t *body = NULL;
    TRY(json_read_stored(e->body, &body));
    *out = json_incref(json_object_get(body, "effects"));
    json_decref(body);
    return json_is_array(*out) ? RESULT_OK : FAIL1(STORE_DAMAGED, "", "an entry without effects");
}

static struct result add_column(struct statement *q, struct id_set *lots)
{
    bool row;
    for (;;) {
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        id_set_add(lots, store_int(q, 0));
    }
}

static struct result add_by_number(struct store *s, enum query query, int64_t number,
                                   struct id_set *lots)
{
    struct statement *q = store_prepare(s, query);
    store_bind_int(q, 1, number);
    return add_column(q, lots);
}

static struct result add_place(struct store *s, const struct place_field *f, const json_t *effect,
                               struct id_set *lots)
{
    const char *place = effect_text(effect, f->place);
    if (place == NULL || (f->lot != 0 && effect_int(effect, f->lot) != 0)) {
        return RESULT_OK;
    }
    struct statement *q = store_prepare(s, Q_TOUCH_PLACE);
    store_bind_text(q, 1, place);
    store_bind_int(q, 2, effect_int(effect, f->at) - f->before_ms);
    store_bind_int(q, 3, effect_int(effect, f->at) + f->after_ms);
    return add_column(q, lots);
}

/* Product on a place while it was cleaned takes that clean away from everything after it; not for
 * longer than a clean counts. */
static struct result add_cleaned_meanwhile(struct store *s, const json_t *effect, size_t place,
                                           int64_t from_ms, int64_t to_ms, struct id_set *lots)
{
    const char *code = effect_text(effect, place);
    if (code == NULL) {
        return RESULT_OK;
    }
    struct statement *q = store_prepare(s, Q_TOUCH_CLEANED);
    store_bind_text(q, 1, code);
    store_bind_int(q, 2, from_ms);
    store_bind_int(q, 3, to_ms);
    bool row;
    TRY(store_step(q, &row));
    bool cleaned = row && !store_is_null(q, 0);
    int64_t first_ms = cleaned ? store_int(q, 0) : 0, last_ms = cleaned ? store_int(q, 1) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    if (!cleaned) {
        return RESULT_OK;
    }
    q = store_prepare(s, Q_TOUCH_PLACE);
    store_bind_text(q, 1, code);
    store_bind_int(q, 2, first_ms);
    store_bind_int(q, 3, last_ms + CLEAN_COUNTS_MS);
    return add_column(q, lots);
}

static struct result touch_effect(struct store *s, const json_t *effect, struct id_set *lots)
{
    for (size_t i = 0; i < sizeof lot_fields / sizeof lot_fields[0]; i++) {
        for (size_t k = 0; k < 2 && effect_is(effect, lot_fields[i].effect); k++) {
            size_t at = lot_fields[i].at[k];
            if (at != 0 && effect_int(effect, at) != 0) {
                id_set_add(lots, effect_int(effect, at));
            }
        }
    }
    for (size_t i = 0; i < sizeof place_fields / sizeof place_fields[0]; i++) {
        if (effect_is(effect, place_fields[i].effect)) {
            TRY(add_place(s, &place_fields[i], effect, lots));
        }
    }
    if (effect_is(effect, "step")) {
        return add_cleaned_meanwhile(s, effect, 4, effect_int(effect, 6), effect_int(effect, 7),
                                     lots);
    }
    if (effect_is(effect, "chamber_use")) { /* it may still grow */
        return add_cleaned_meanwhile(s, effect, 2, effect_int(effect, 4), INT64_MAX / 4, lots);
    }
    if (effect_is(effect, "finding")) {
        return add_by_number(s, Q_TOUCH_SAMPLE, effect_int(effect, 1), lots);
    }
    if (effect_is(effect, "run") || effect_is(effect, "run_end")) {
        return add_by_number(s, Q_TOUCH_RUN, effect_int(effect, 1), lots);
    }
    if (effect_is(effect, "reading") && effect_int(effect, 5) != 0) {
        return add_by_number(s, Q_TOUCH_RUN, effect_int(effect, 5), lots);
    }
    if (effect_is(effect, "unit_state") || effect_is(effect, "unit_content")) {
        return add_by_number(s, Q_TOUCH_UNIT, effect_int(effect, 1), lots);
    }
    if (effect_is(effect, "release_revoked")) {
        return add_by_number(s, Q_TOUCH_RELEASE, effect_int(effect, 1), lots);
    }
    return RESULT_OK;
}

struct result touch_add(struct store *s, struct arena *a, const struct entry *e,
                        struct id_set *lots)
{
    json_t *effects = NULL;
    struct result r = entry_effects(e, &effects);
    size_t i;
    json_t *effect;
    json_array_foreach(effects, i, effect)
    {
        if (r.code == CODE_OK) {
            r = touch_effect(s, effect, lots);
        }
    }
    json_decref(effects);
    return r;
}
