/* Corrections: a new entry strikes one and usually brings the replacement; both stay visible. */
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "ledger/fold.h"
#include "ledger/hold.h"
#include "ledger/judge.h"
#include "ledger/strike.h"
#include "ledger/touch.h"

enum { ALSO_MAX = 500 };

struct asked {
    int64_t entries[ALSO_MAX + 1]; /* the one named first, then "also" */
    size_t count;
    bool replaced;
};

static struct result read_asked(struct draft *d, struct asked *out)
{
    static const char *const names[] = {"entry", "also", "replace", "second", NULL};
    const json_t *o = d->cmd->body;
    json_t *also = NULL, *replace = NULL;
    *out = (struct asked){.count = 1};
    TRY(draft_only(d, "a strike", names));
    TRY(json_get_int(o, "entry", "entry", JSON_NEEDED, 1, INT64_C(1) << 50, &out->entries[0]));
    TRY(json_get_array(o, "also", "also", JSON_OPTIONAL, &also));
    TRY(json_get_object(o, "replace", "replace", JSON_OPTIONAL, &replace));
    out->replaced = replace != NULL;
    if (json_array_size(also) > ALSO_MAX) {
        return FAIL2(FIELD_RANGE, "also", "too long", "at most 500 entries");
    }
    for (size_t i = 0; i < json_array_size(also); i++) {
        const json_t *value = json_array_get(also, i);
        if (!json_is_integer(value) || json_integer_value(value) < 1) {
            return FAIL2(FIELD_TYPE, arena_printf(d->arena, "also[%zu]", i),
                         "the number of an entry", "something else");
        }
        out->entries[out->count++] = json_integer_value(value);
    }
    if (d->cmd->reason == NULL || d->cmd->reason[0] == '\0') {
        return FAIL1(FIELD_MISSING, "reason", "Say what was wrong.");
    }
    return RESULT_OK;
}

static const char *number(struct draft *d, int64_t n)
{
    return arena_printf(d->arena, "%lld", (long long)n);
}

static struct result may_be_struck(struct draft *d, int64_t seq, const char *field)
{
    struct entry e;
    bool found;
    TRY(entry_by_seq(d->store, d->arena, seq, &e, &found));
    return found ? strike_takes(d->store, d->arena, &e, field)
                 : FAIL1(ENTRY_UNKNOWN, field, number(d, seq));
}

/* A release that rests on one of them, a positive, a hold: nobody takes such a thing back alone. */
static struct result needs_two(struct draft *d, const struct strike *k, bool *out)
{
    struct id_set lots = id_set_new(d->arena);
    struct resting *list;
    size_t count;
    *out = false;
    for (size_t i = 0; i < k->count; i++) {
        const struct struck *one = &k->list[i];
        size_t n;
        json_t *effect;
        json_array_foreach(one->effects, n, effect)
        {
            const char *state = effect_is(effect, "finding") ? effect_text(effect, 3) : NULL;
            *out = *out || (state != NULL && list_has("presumptive,confirmed-positive", state));
        }
        *out = *out || strcmp(one->entry.kind, "hold") == 0;
        TRY(touch_add(d->store, d->arena, &one->entry, &lots));
        TRY(releases_naming(d->store, d->arena, one->entry.seq, &lots));
    }
    TRY(kin_onward(d->store, &lots));
    TRY(releases_of(d->store, d->arena, &lots, INT64_MIN, &list, &count));
    *out = *out || count > 0;
    return RESULT_OK;
}

static struct result check_second(struct draft *d)
{
    int64_t second = 0;
    const char *role;
    bool active, found;
    TRY(json_get_int(d->cmd->body, "second", "second", JSON_OPTIONAL, 1, INT32_MAX, &second));
    if (second == 0 || second == d->cmd->person) {
        return FAIL0(STRIKE_SECOND, "second");
    }
    TRY(person_role(d->store, d->arena, second, &role, &active, &found));
    if (!found || !active) {
        return FAIL1(PERSON_UNKNOWN, "second", number(d, second));
    }
    return list_has("quality,manager", role) ? RESULT_OK : FAIL0(STRIKE_SECOND, "second");
}

static struct result may_strike(struct draft *d, const struct asked *asked, const struct strike *k)
{
    const char *role;
    bool active, found, two;
    TRY(person_role(d->store, d->arena, d->cmd->person, &role, &active, &found));
    bool quality = found && strcmp(role, "quality") == 0;
    TRY(needs_two(d, k, &two));
    for (size_t i = 0; i < asked->count; i++) {
        struct entry e;
        TRY(entry_by_seq(d->store, d->arena, asked->entries[i], &e, &found));
        bool own = found && strike_is_own(d->profile, &e, d->cmd->person, d->cmd->recorded_ms);
        if (!quality && (two || !own)) {
            return FAIL2(STRIKE_LATE, i == 0 ? "entry" : "also", number(d, e.seq),
                         number(d, e.person));
        }
    }
    return two ? check_second(d) : RESULT_OK;
}

/* Without a replacement nothing may rest on it; with one, who uses what is made again is looked at
 * once that is known. */
static struct result nothing_rests(struct draft *d, const struct asked *asked,
                                   const struct strike *k)
{
    struct dependants found = {0};
    TRY(strike_overtaken(d->store, d->arena, k, &found));
    if (!asked->replaced) {
        TRY(strike_used(d->store, d->arena, k, NULL, &found));
    }
    return found.count == 0 ? RESULT_OK
                            : FAIL1(STRIKE_DEPENDANTS, "entry", dependants_text(d->arena, &found));
}

static void take_back(struct draft *d, const struct strike *k)
{
    json_t *list = json_array();
    json_object_set_new(d->answer, "struck", list);
    for (size_t i = 0; i < k->count; i++) {
        const struct struck *one = &k->list[i];
        json_t *sets = json_array(), *set;
        size_t n;
        CHECK(sets != NULL);
        draft_add(d, EFFECT_STRIKE, "i", one->entry.seq);
        fold_inverse(one->effects, sets);
        json_array_foreach(sets, n, set)
        {
            if (!strike_made_row(k, set)) {
                json_array_append(d->effects, set);
            }
        }
        json_decref(sets);
        json_array_append_new(list, json_pack("{s:I,s:s}", "entry", (json_int_t)one->entry.seq,
                                              "kind", one->entry.kind));
    }
}

/* What was taken out elsewhere of a lot that had come in by a struck entry is owed. */
static struct result book_owed(struct draft *d, const struct strike *k)
{
    struct below *below;
    size_t count;
    TRY(strike_below(d->store, d->arena, k, &below, &count));
    for (size_t i = 0; i < count; i++) {
        struct lot lot;
        bool found;
        TRY(lot_by_id(d->store, d->arena, below[i].lot, &lot, &found));
        const char *short_by =
            arena_printf(d->arena, "%lld %s", (long long)below[i].short_by, below[i].unit);
        TRY(draft_break(d, "stock-below-zero", below[i].lot, NULL, 0, 0,
                        FAIL3(STOCK_SHORT, "entry", found ? lot.code : "", "nothing", short_by)));
        draft_add(d, EFFECT_OWED, "iitin", draft_id(d), below[i].lot, below[i].unit,
                  below[i].short_by);
        draft_task(d, "explain-owed", found ? lot.code : "", below[i].lot, NULL,
                   d->cmd->recorded_ms + 24 * 3600 * 1000LL);
    }
    return RESULT_OK;
}

static bool sets_closed(const struct draft *d, int64_t lot)
{
    size_t i;
    json_t *effect;
    json_array_foreach(d->effects, i, effect)
    {
        if (effect_is(effect, "lot_closed") && effect_int(effect, 1) == lot) {
            return true;
        }
    }
    return false;
}

/* A lot that was closed as used up and has something in it again is open again; moved is what the
 * view still holds. */
static struct result reopen_lot(struct draft *d, int64_t lot_id, const struct below *moved,
                                size_t count)
{
    static const char *const names[] = {"mg", "pc", "mL"};
    struct lot lot;
    bool found, something = false;
    TRY(lot_by_id(d->store, d->arena, lot_id, &lot, &found));
    if (!found || lot.closed_ms == 0 || list_has("growing,supplier", lot.kind) ||
        sets_closed(d, lot_id)) {
        return RESULT_OK;
    }
    for (int unit = UNIT_MG; unit <= UNIT_ML; unit++) {
        int64_t left;
        TRY(draft_balance(d, lot_id, (enum amount_unit)unit, &left));
        for (size_t i = 0; i < count; i++) {
            bool same = moved[i].lot == lot_id && strcmp(moved[i].unit, names[unit]) == 0;
            left -= same ? moved[i].short_by : 0;
        }
        something = something || left > 0;
    }
    if (something) {
        draft_add(d, EFFECT_LOT_CLOSED, "ini", lot_id, lot.closed_ms);
    }
    return RESULT_OK;
}

static struct result reopen(struct draft *d, const struct strike *k)
{
    struct below *moved;
    size_t count;
    strike_moved(d->arena, k, &moved, &count);
    for (size_t i = 0; i < count; i++) {
        TRY(reopen_lot(d, moved[i].lot, moved, count));
    }
    return RESULT_OK;
}

static struct result strike_all(struct draft *d, const struct asked *asked, const struct strike *k)
{
    TRY(may_strike(d, asked, k));
    TRY(nothing_rests(d, asked, k));
    take_back(d, k);
    TRY(reopen(d, k));
    return asked->replaced ? RESULT_OK
                           : book_owed(d, k); /* with a replacement, once that is known */
}

struct result decide_strike(struct draft *d)
{
    struct asked asked;
    struct strike k;
    TRY(read_asked(d, &asked));
    for (size_t i = 0; i < asked.count; i++) {
        TRY(may_be_struck(d, asked.entries[i],
                          i == 0 ? "entry" : arena_printf(d->arena, "also[%zu]", i - 1)));
    }
    struct result r = strike_read(d->store, d->arena, asked.entries, asked.count, &k);
    if (r.code == CODE_OK) {
        r = strike_all(d, &asked, &k);
    }
    strike_release(&k);
    return r;
}
