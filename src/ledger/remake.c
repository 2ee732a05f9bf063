#include "ledger/remake.h"

#include <string.h>

#include "base/check.h"
#include "ledger/touch.h"
#include "ledger/view.h"

void remake_offer(struct draft *d, const struct strike *k)
{
    d->reuse = ARENA_ARRAY(d->arena, struct draft_reuse, k->made_count + 1);
    d->reuse_count = 0;
    for (size_t i = 0; i < k->made_count; i++) {
        const struct made *m = &k->made[i];
        if (m->kind == MADE_LOT) {
            d->reuse[d->reuse_count++] = (struct draft_reuse){
                .id = m->id, .code = m->code, .item = m->item, .kind = m->lot_kind};
        }
    }
}

/* Where an effect of the same draft may name a case, a run or a sample that it makes. */
static const struct {
    const char *maker, *user;
    size_t at;
} uses[] = {
    {"unit", "unit", 4},   {"unit", "hold_on", 3}, {"unit", "shipped", 3},   {"run", "step", 5},
    {"run", "reading", 5}, {"run", "hold", 8},     {"sample", "finding", 1},
};

static void put_int(json_t *effect, size_t at, int64_t value)
{
    json_array_set_new(effect, at, json_integer(value));
}

static void rename_id(struct draft *d, const char *maker, int64_t from, int64_t to)
{
    size_t i;
    json_t *effect;
    json_array_foreach(d->effects, i, effect)
    {
        for (size_t k = 0; k < sizeof uses / sizeof uses[0]; k++) {
            if (strcmp(uses[k].maker, maker) == 0 && effect_is(effect, uses[k].user) &&
                effect_int(effect, uses[k].at) == from) {
                put_int(effect, uses[k].at, to);
            }
        }
    }
}

/* A code that was made up anew for something that has one already. */
static void rename_code(struct draft *d, json_t *effect, const char *to)
{
    const char *from = effect_text(effect, 2);
    const char *key;
    json_t *value;
    void *next;
    json_object_foreach_safe(d->answer, next, key, value)
    {
        if (json_is_string(value) && strcmp(json_string_value(value), from) == 0) {
            json_object_set_new(d->answer, key, json_string(to));
        }
    }
    json_array_set_new(effect, 2, json_string(to));
}

/* The struck thing of this code; for a run or sample whose code was not given, the only one there
 * is. */
static const struct made *again_of(struct draft *d, const struct strike *k, const json_t *effect,
                                   enum made_kind kind)
{
    const struct made *only = NULL;
    size_t count = 0;
    for (size_t i = 0; i < k->made_count; i++) {
        const struct made *m = &k->made[i];
        if (m->kind != kind) {
            continue;
        }
        if (strcmp(m->code, effect_text(effect, 2)) == 0) {
            return m;
        }
        only = m;
        count++;
    }
    const char *field = kind == MADE_RUN ? "run" : "code";
    bool given = kind == MADE_UNIT || json_object_get(d->cmd->body, field) != NULL;
    return count == 1 && !given ? only : NULL;
}

static void take_ids(struct draft *d, const struct strike *k)
{
    static const struct {
        const char *effect;
        enum made_kind kind;
    } kinds[] = {{"unit", MADE_UNIT}, {"run", MADE_RUN}, {"sample", MADE_SAMPLE}};
    size_t i;
    json_t *effect;
    json_array_foreach(d->effects, i, effect)
    {
        for (size_t n = 0; n < sizeof kinds / sizeof kinds[0]; n++) {
            const struct made *m =
                effect_is(effect, kinds[n].effect) ? again_of(d, k, effect, kinds[n].kind) : NULL;
            if (m != NULL) {
                rename_id(d, kinds[n].effect, effect_int(effect, 1), m->id);
                put_int(effect, 1, m->id);
                if (strcmp(m->code, effect_text(effect, 2)) != 0) {
                    rename_code(d, effect, m->code);
                }
            }
        }
    }
}

/* Columns that later entries may have changed: the SET effect, and where its values stand in the
 * effect that makes the row. */
struct carried {
    const char *maker, *set;
    enum query query; /* the values as they stood when the row was struck */
    size_t at[4];
    const char *letters;
};

static const struct carried carried[] = {
    {"lot", "lot_place", Q_REMAKE_LOT_PLACE, {5}, "t"},
    {"lot", "lot_markets", Q_REMAKE_LOT_MARKETS, {12}, "t"},
    {"lot", "lot_closed", Q_REMAKE_LOT_CLOSED, {13}, "i"},
    {"unit", "unit_state", Q_REMAKE_UNIT_STATE, {9, 8, 10, 4}, "ttii"},
    {"unit", "unit_content", Q_REMAKE_UNIT_CONTENT, {5, 6, 7}, "iii"},
    {"run", "run_end", Q_REMAKE_RUN_END, {7}, "i"},
    {"chamber_use", "chamber_use_state", Q_REMAKE_CHAMBER_USE, {6, 7}, "ii"},
};

/* When it was last changed, by an entry that stands; *out false: never. */
static struct result changed_since(struct draft *d, const char *set, int64_t row_id, bool *out,
                                   int64_t *out_ms)
{
    struct statement *q = store_prepare(d->store, Q_REMAKE_CHANGED);
    store_bind_text(q, 1, set);
    store_bind_int(q, 2, row_id);
    bool row;
    TRY(store_step(q, &row));
    *out = row;
    *out_ms = row ? store_int(q, 0) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static json_t *value_of(struct statement *q, int column, char letter)
{
    if (store_is_null(q, column)) {
        return json_null();
    }
    return letter == 'i' ? json_integer(store_int(q, column)) : json_string(store_text(q, column));
}

/* A lot that was used up and comes again with more in it is open again. */
static struct result stays_closed(struct draft *d, const json_t *effect, bool *out)
{
    int64_t mg, pieces;
    TRY(draft_balance(d, effect_int(effect, 1), UNIT_MG, &mg));
    TRY(draft_balance(d, effect_int(effect, 1), UNIT_PIECES, &pieces));
    *out = strcmp(effect_text(effect, 4), "growing") == 0 || (mg <= 0 && pieces <= 0);
    return RESULT_OK;
}

static struct result carry_one(struct draft *d, const struct carried *c, json_t *effect,
                               int64_t strike)
{
    bool changed, row, keeps = true, closed = strcmp(c->set, "lot_closed") == 0;
    int64_t id = effect_int(effect, 1), changed_ms;
    TRY(changed_since(d, c->set, id, &changed, &changed_ms));
    if (changed && closed) {
        TRY(stays_closed(d, effect, &keeps));
    }
    if (!changed || !keeps) {
        return RESULT_OK;
    }
    struct statement *q = store_prepare(d->store, c->query);
    store_bind_int(q, 1, id);
    store_bind_int(q, 2, strike);
    TRY(store_step(q, &row));
    for (int i = 0; row && c->letters[i] != '\0'; i++) {
        json_array_set_new(effect, c->at[i], value_of(q, i, c->letters[i]));
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    if (closed && json_is_null(json_array_get(effect, c->at[0]))) {
        /* it had been opened again by a replacement that made more of it */
        put_int(effect, c->at[0], changed_ms);
    }
    return RESULT_OK;
}

static bool was_made(const struct strike *k, int64_t id)
{
    for (size_t i = 0; i < k->made_count; i++) {
        if (k->made[i].id == id) {
            return true;
        }
    }
    return false;
}

struct result remake_settle(struct draft *d, const struct strike *k, int64_t strike,
                            struct id_set *out_again)
{
    take_ids(d, k);
    size_t i;
    json_t *effect;
    json_array_foreach(d->effects, i, effect)
    {
        for (size_t n = 0; n < sizeof carried / sizeof carried[0]; n++) {
            if (effect_is(effect, carried[n].maker) && was_made(k, effect_int(effect, 1))) {
                id_set_add(out_again, effect_int(effect, 1));
                TRY(carry_one(d, &carried[n], effect, strike));
            }
        }
        if (effect_is(effect, "sample") && was_made(k, effect_int(effect, 1))) {
            id_set_add(out_again, effect_int(effect, 1));
        }
    }
    return RESULT_OK;
}

static int64_t owed_here(const struct draft *d, int64_t lot, const char *unit)
{
    int64_t sum = 0;
    size_t i;
    json_t *effect;
    json_array_foreach(d->effects, i, effect)
    {
        if (effect_is(effect, "owed") && effect_int(effect, 2) == lot &&
            strcmp(effect_text(effect, 3), unit) == 0) {
            sum += effect_int(effect, 4);
        }
    }
    return sum;
}

static struct result follow_balance(struct draft *d, int64_t lot_id, enum amount_unit unit)
{
    static const char *const names[] = {"mg", "pc", "mL"};
    struct lot lot;
    bool found;
    int64_t balance, owed;
    TRY(draft_balance(d, lot_id, unit, &balance));
    TRY(owed_open(d->store, lot_id, names[unit], NULL, &owed));
    owed += owed_here(d, lot_id, names[unit]);
    if (balance + owed >= 0) {
        return RESULT_OK;
    }
    TRY(lot_by_id(d->store, d->arena, lot_id, &lot, &found));
    const char *code = found ? lot.code : "";
    for (size_t i = 0; i < d->reuse_count; i++) {
        code = d->reuse[i].id == lot_id ? d->reuse[i].code : code;
    }
    const char *short_by =
        arena_printf(d->arena, "%lld %s", (long long)-(balance + owed), names[unit]);
    TRY(draft_break(d, "stock-below-zero", lot_id, NULL, 0, 0,
                    FAIL3(STOCK_SHORT, "replace", code, "less than that", short_by)));
    draft_add(d, EFFECT_OWED, "iitin", draft_id(d), lot_id, names[unit], -(balance + owed));
    draft_task(d, "explain-owed", code, lot_id, NULL, d->cmd->recorded_ms + 24 * 3600 * 1000LL);
    return RESULT_OK;
}

/* Holds that the lot gets now and had not before. */
static struct result follow_holds(struct draft *d, const struct strike *k)
{
    size_t count = json_array_size(d->effects);
    for (size_t i = 0; i < count; i++) {
        const json_t *effect = json_array_get(d->effects, i);
        if (!effect_is(effect, "hold_on") || effect_int(effect, 3) != 0 ||
            !was_made(k, effect_int(effect, 2))) {
            continue;
        }
        int64_t hold = effect_int(effect, 1);
        struct id_set onward = id_set_new(d->arena);
        id_set_add(&onward, effect_int(effect, 2));
        TRY(kin_onward(d->store, &onward));
        for (size_t n = 1; n < onward.count; n++) {
            draft_hold_on(d, hold, onward.id[n], 0, "made-from");
        }
    }
    return RESULT_OK;
}

struct result remake_follow(struct draft *d, const struct strike *k)
{
    struct id_set lots = id_set_new(d->arena);
    for (size_t i = 0; i < k->count; i++) {
        size_t n;
        json_t *effect;
        json_array_foreach(k->list[i].effects, n, effect)
        {
            if (effect_is(effect, "movement") && effect_int(effect, 2) != 0) {
                id_set_add(&lots, effect_int(effect, 2));
            }
        }
    }
    for (size_t i = 0; i < lots.count; i++) {
        for (int unit = UNIT_MG; unit <= UNIT_ML; unit++) {
            TRY(follow_balance(d, lots.id[i], (enum amount_unit)unit));
        }
    }
    return follow_holds(d, k);
}
