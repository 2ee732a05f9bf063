#include "ledger/fold.h"

#include <string.h>

#include "base/check.h"
#include "base/digest.h"
#include "base/text.h"
#include "ledger/draft.h"

struct effect_row {
    const char *name;
    enum query query;
    const char *row; /* fields of a ROW; NULL for a SET */
    const char *set; /* value letters of a SET */
};

static const struct effect_row effect_rows[] = {
#define ROW(name, NAME, fields) {#name, Q_FOLD_##NAME, fields, NULL},
#define SET(name, NAME, values) {#name, Q_SET_##NAME, NULL, values},
#include "ledger/effects.def"
#undef ROW
#undef SET
};

static const enum query strike_queries[] = {
#define ROW(name, NAME, fields) Q_STRIKE_##NAME,
#define SET(name, NAME, values)
#include "ledger/effects.def"
#undef ROW
#undef SET
};

const char *effect_name(int effect)
{
    return effect == EFFECT_STRIKE ? "strike" : effect_rows[effect].name;
}

const char *effect_fields(int effect)
{
    return effect == EFFECT_STRIKE ? NULL : effect_rows[effect].row;
}

static int effect_find(const char *name)
{
    for (int i = 0; i < EFFECT_STRIKE; i++) {
        if (text_is(effect_rows[i].name, name)) {
            return i;
        }
    }
    return strcmp(name, "strike") == 0 ? EFFECT_STRIKE : -1;
}

static struct result damaged(const char *what)
{
    return FAIL1(STORE_DAMAGED, "", what);
}

static struct result run(struct statement *q)
{
    bool row = true;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static bool bind(struct statement *q, int at, char letter, const json_t *value)
{
    if (json_is_null(value)) {
        store_bind_null(q, at);
        return true;
    }
    if (letter == 'i' && json_is_integer(value)) {
        store_bind_int(q, at, json_integer_value(value));
        return true;
    }
    if (letter == 't' && json_is_string(value)) {
        store_bind_text(q, at, json_string_value(value));
        return true;
    }
    if (letter == 'b' && json_is_string(value)) {
        uint8_t bytes[64];
        size_t len = json_string_length(value) / 2;
        if (len > sizeof bytes ||
            hex_read(json_string_value(value), "", bytes, len).code != CODE_OK) {
            return false;
        }
        store_bind_bytes(q, at, bytes, len);
        return true;
    }
    return false;
}

static struct result add_balance(struct store *s, const json_t *lot, const json_t *account,
                                 const char *unit, int64_t amount)
{
    struct statement *q;
    if (json_is_integer(lot)) {
        q = store_prepare(s, Q_FOLD_BALANCE);
        store_bind_int(q, 1, json_integer_value(lot));
    } else {
        q = store_prepare(s, Q_FOLD_ACCOUNT);
        store_bind_text(q, 1, json_string_value(account));
    }
    store_bind_text(q, 2, unit);
    store_bind_int(q, 3, amount);
    return run(q);
}

static struct result fold_row(struct store *s, int64_t seq, int effect, const json_t *e)
{
    const struct effect_row *row = &effect_rows[effect];
    struct statement *q = store_prepare(s, row->query);
    size_t field = 1;
    for (int i = 0; row->row[i] != '\0'; i++) {
        if (row->row[i] == 'e') {
            store_bind_int(q, i + 1, seq);
        } else if (!bind(q, i + 1, row->row[i], json_array_get(e, field++))) {
            return damaged(row->name);
        }
    }
    if (field != json_array_size(e)) {
        return damaged(row->name);
    }
    TRY(run(q));
    if (effect == EFFECT_MOVEMENT) { /* leg lot account unit amount ... */
        TRY(add_balance(s, json_array_get(e, 2), json_array_get(e, 3),
                        json_string_value(json_array_get(e, 4)),
                        json_integer_value(json_array_get(e, 5))));
    }
    return RESULT_OK;
}

static struct result fold_set(struct store *s, int64_t seq, int effect, const json_t *e)
{
    const struct effect_row *row = &effect_rows[effect];
    size_t count = strlen(row->set);
    if (json_array_size(e) != 2 + 2 * count || !json_is_integer(json_array_get(e, 1))) {
        return damaged(row->name);
    }
    struct statement *q = store_prepare(s, row->query);
    store_bind_int(q, 1, json_integer_value(json_array_get(e, 1)));
    for (size_t i = 0; i < count; i++) {
        if (!bind(q, (int)i + 2, row->set[i], json_array_get(e, 2 + i))) {
            return damaged(row->name);
        }
    }
    TRY(run(q));
    q = store_prepare(s, Q_FOLD_CHANGED);
    store_bind_text(q, 1, row->name);
    store_bind_int(q, 2, json_integer_value(json_array_get(e, 1)));
    store_bind_int(q, 3, seq);
    return run(q);
}

/* The amounts go back first, while the struck legs can still be told from others. */
static struct result fold_strike(struct store *s, int64_t seq, const json_t *e)
{
    if (json_array_size(e) != 2 || !json_is_integer(json_array_get(e, 1))) {
        return damaged("strike");
    }
    int64_t struck = json_integer_value(json_array_get(e, 1));
    struct statement *q = store_prepare(s, Q_STRIKE_BALANCES);
    store_bind_int(q, 1, struck);
    TRY(run(q));
    q = store_prepare(s, Q_STRIKE_ACCOUNTS);
    store_bind_int(q, 1, struck);
    TRY(run(q));
    for (size_t i = 0; i < sizeof strike_queries / sizeof strike_queries[0]; i++) {
        q = store_prepare(s, strike_queries[i]);
        store_bind_int(q, 1, struck);
        store_bind_int(q, 2, seq);
        TRY(run(q));
    }
    q = store_prepare(s, Q_STRIKE_CHANGED);
    store_bind_int(q, 1, struck);
    store_bind_int(q, 2, seq);
    TRY(run(q));
    q = store_prepare(s, Q_FOLD_STRIKE);
    store_bind_int(q, 1, struck);
    store_bind_int(q, 2, seq);
    return run(q);
}

struct result fold_effects(struct store *s, int64_t seq, const json_t *effects)
{
    if (!json_is_array(effects)) {
        return damaged("effects");
    }
    size_t i;
    json_t *e;
    json_array_foreach(effects, i, e)
    {
        const char *name = json_string_value(json_array_get(e, 0));
        int effect = name != NULL ? effect_find(name) : -1;
        if (effect < 0) {
            return damaged(name != NULL ? name : "effect");
        }
        if (effect == EFFECT_STRIKE) {
            TRY(fold_strike(s, seq, e));
        } else if (effect_rows[effect].row != NULL) {
            TRY(fold_row(s, seq, effect, e));
        } else {
            TRY(fold_set(s, seq, effect, e));
        }
    }
    return RESULT_OK;
}

void fold_inverse(const json_t *effects, json_t *out)
{
    for (size_t i = json_array_size(effects); i > 0; i--) {
        const json_t *e = json_array_get(effects, i - 1);
        int effect = effect_find(json_string_value(json_array_get(e, 0)));
        if (effect < 0 || effect == EFFECT_STRIKE || effect_rows[effect].set == NULL) {
            continue;
        }
        size_t count = strlen(effect_rows[effect].set);
        json_t *back = json_array();
        json_array_append(back, json_array_get(e, 0));
        json_array_append(back, json_array_get(e, 1));
        for (size_t k = 0; k < count; k++) {
            json_array_append(back, json_array_get(e, 2 + count + k));
        }
        for (size_t k = 0; k < count; k++) {
            json_array_append(back, json_array_get(e, 2 + k));
        }
        json_array_append_new(out, back);
    }
}
