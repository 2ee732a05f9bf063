#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/draft_inner.h"
#include "ledger/view.h"

static const char *const unit_names[] = {"mg", "pc", "mL"};
static const char *const how_names[] = {"weighed", "counted", "standard", "difference"};
static const char *const accounts[] = {"supplier", "water",       "air",     "drain",
                                       "waste",    "feed",        "compost", "sample",
                                       "customer", "unexplained", "made"};

static struct result read_how(const json_t *object, const char *path, enum amount_how default_how,
                              enum amount_how *out)
{
    const char *how = NULL;
    *out = default_how;
    TRY(json_get_text(object, "how", path, JSON_OPTIONAL, &how));
    if (how == NULL) {
        return RESULT_OK;
    }
    for (int i = 0; i < 4; i++) {
        if (strcmp(how, how_names[i]) == 0) {
            *out = (enum amount_how)i;
            return RESULT_OK;
        }
    }
    return FAIL2(FIELD_CHOICE, path, how, "weighed, counted, standard, difference");
}

static struct result read_instrument(struct draft *d, const json_t *object, const char *path,
                                     struct amount *out)
{
    TRY(json_get_text(object, "instrument", path, JSON_OPTIONAL, &out->instrument));
    if (out->instrument == NULL) {
        return RESULT_OK;
    }
    struct instrument instrument;
    bool found;
    TRY(instrument_on(d->store, d->arena, out->instrument, d->cmd->happened_ms, &instrument,
                      &found));
    if (!found) {
        return FAIL1(INSTRUMENT_UNKNOWN, path, out->instrument);
    }
    out->uncertainty = instrument.uncertainty;
    if (instrument.due_ms < d->cmd->happened_ms) {
        TRY(draft_break(d, "calibration-overdue", 0, NULL, instrument.due_ms, d->cmd->happened_ms,
                        FAIL2(INSTRUMENT_OVERDUE, path, out->instrument,
                              civil_short(d->arena, instrument.due_ms))));
    }
    return RESULT_OK;
}

/* What a scale showed; text may be NULL. */
static struct result read_scale(struct draft *d, const char *text, const char *field, int64_t *out)
{
    if (text == NULL) {
        return RESULT_OK;
    }
    TRY(mass_read(text, field, out));
    return *out >= 0 && *out <= MASS_MAX_MG
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, field, text, "zero or more, up to a million tonnes");
}

struct result draft_read_mass(struct draft *d, const json_t *object, const char *path,
                              enum json_need need, enum amount_how default_how, struct amount *out,
                              bool *out_given)
{
    const char *dot = path[0] != '\0' ? "." : "";
    const char *field = arena_printf(d->arena, "%s%smass", path, dot);
    const char *mass = NULL, *gross = NULL, *tare = NULL;
    *out = (struct amount){.unit = UNIT_MG};
    *out_given = false;
    TRY(json_get_text(object, "gross", arena_printf(d->arena, "%s%sgross", path, dot),
                      JSON_OPTIONAL, &gross));
    TRY(json_get_text(object, "tare", arena_printf(d->arena, "%s%stare", path, dot), JSON_OPTIONAL,
                      &tare));
    bool by_gross = gross != NULL && tare != NULL;
    TRY(json_get_text(object, "mass", field, by_gross ? JSON_OPTIONAL : need, &mass));
    if (mass == NULL && !by_gross) {
        return RESULT_OK;
    }
    TRY(read_scale(d, gross, arena_printf(d->arena, "%s%sgross", path, dot), &out->gross));
    TRY(read_scale(d, tare, arena_printf(d->arena, "%s%stare", path, dot), &out->tare));
    out->value = out->gross - out->tare;
    if (mass != NULL) {
        TRY(mass_read(mass, field, &out->value));
    }
    if (by_gross && out->value != out->gross - out->tare) {
        return FAIL2(FIELD_RANGE, field, mass, "gross less tare");
    }
    if (out->value < 0 || out->value > MASS_MAX_MG) {
        return FAIL2(FIELD_RANGE, field, mass != NULL ? mass : gross,
                     "zero or more, up to a million tonnes");
    }
    TRY(read_how(object, arena_printf(d->arena, "%s%show", path, dot), default_how, &out->how));
    TRY(read_instrument(d, object, arena_printf(d->arena, "%s%sinstrument", path, dot), out));
    *out_given = true;
    return RESULT_OK;
}

static void add_leg(struct draft *d, int64_t lot, const char *account, int sign,
                    const struct amount *amount)
{
    CHECK(sign == 1 || sign == -1);
    int64_t value = sign * amount->value;
    int64_t *sum = amount->unit == UNIT_MG       ? &d->sum_mg
                   : amount->unit == UNIT_PIECES ? &d->sum_pieces
                                                 : &d->sum_ml;
    CHECK(!__builtin_add_overflow(*sum, value, sum));
    draft_add(d, EFFECT_MOVEMENT, "iottittooi", (int64_t)d->legs++, lot, account,
              unit_names[amount->unit], value, how_names[amount->how], amount->instrument,
              amount->gross, amount->tare, amount->uncertainty);
}

void draft_move_account(struct draft *d, const char *account, int sign, const struct amount *amount)
{
    bool known = false;
    for (size_t i = 0; i < sizeof accounts / sizeof accounts[0]; i++) {
        known = known || strcmp(accounts[i], account) == 0;
    }
    CHECK(known);
    if (amount->value != 0) {
        add_leg(d, 0, account, sign, amount);
    }
}

static struct draft_delta *delta_of(struct draft *d, int64_t lot, enum amount_unit unit)
{
    static const char letters[] = "mpl";
    for (size_t i = 0; i < d->delta_count; i++) {
        if (d->delta[i].lot == lot && d->delta[i].unit == letters[unit]) {
            return &d->delta[i];
        }
    }
    if (d->delta_count == d->delta_room) {
        size_t room = d->delta_room != 0 ? d->delta_room * 2 : 16;
        struct draft_delta *grown = ARENA_ARRAY(d->arena, struct draft_delta, room);
        if (d->delta_count > 0) {
            memcpy(grown, d->delta, d->delta_count * sizeof *grown);
        }
        d->delta = grown;
        d->delta_room = room;
    }
    struct draft_delta *delta = &d->delta[d->delta_count++];
    *delta = (struct draft_delta){.lot = lot, .unit = letters[unit]};
    return delta;
}

struct result draft_balance(struct draft *d, int64_t lot, enum amount_unit unit, int64_t *out)
{
    TRY(balance_of(d->store, lot, unit, out));
    *out += delta_of(d, lot, unit)->amount;
    return RESULT_OK;
}

static const char *quantity_text(struct draft *d, enum amount_unit unit, int64_t value)
{
    if (unit == UNIT_MG) {
        return mass_text(d->arena, value, 0);
    }
    return arena_printf(d->arena, "%lld %s", (long long)value,
                        unit == UNIT_PIECES ? "pieces" : "mL");
}

/* Told stock below zero stays heard: it is shown as owed, with a task to explain it. */
static struct result stock_short(struct draft *d, int64_t lot, const char *code,
                                 const struct amount *amount, int64_t left)
{
    const char *has = quantity_text(d, amount->unit, left > 0 ? left : 0);
    const char *want = quantity_text(d, amount->unit, amount->value);
    TRY(draft_break(d, "stock-below-zero", lot, NULL, 0, 0,
                    FAIL3(STOCK_SHORT, "mass", code, has, want)));
    int64_t owed = amount->value - (left > 0 ? left : 0);
    draft_add(d, EFFECT_OWED, "iitin", draft_id(d), lot, unit_names[amount->unit], owed);
    draft_task(d, "explain-owed", code, lot, NULL, d->cmd->recorded_ms + 24 * 3600 * 1000LL);
    return RESULT_OK;
}

struct result draft_move_lot(struct draft *d, int64_t lot, const char *lot_code, int sign,
                             const struct amount *amount)
{
    CHECK(amount->value >= 0 && lot != 0);
    if (amount->value == 0) {
        return RESULT_OK;
    }
    if (sign < 0) {
        int64_t left;
        TRY(draft_balance(d, lot, amount->unit, &left));
        if (left < amount->value) {
            TRY(stock_short(d, lot, lot_code, amount, left));
        }
    }
    delta_of(d, lot, amount->unit)->amount += sign * amount->value;
    add_leg(d, lot, NULL, sign, amount);
    return RESULT_OK;
}
