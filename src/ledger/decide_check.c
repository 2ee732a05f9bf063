/* Which check a step makes, and the simple ones: a reading against a limit, a look. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/check_pieces.h"
#include "ledger/duty.h"
#include "ledger/quantity.h"

void check_reading(struct draft *d, struct check *c, const char *unit, bool has_value,
                   int64_t value_milli, bool good, json_t *data)
{
    const char *text = data != NULL ? json_canonical(d->arena, data) : "{}";
    json_decref(data);
    good = good && !c->overdue && !c->refused;
    c->ok = c->ok && good;
    if (has_value) {
        draft_add(d, EFFECT_READING, "ittooititti", c->n, c->name, c->place.code, c->lot.id,
                  c->run.id, value_milli, unit, (int64_t)good, c->instrument, text,
                  d->cmd->happened_ms);
    } else {
        draft_add(d, EFFECT_READING, "ittoontitti", c->n, c->name, c->place.code, c->lot.id,
                  c->run.id, unit, (int64_t)good, c->instrument, text, d->cmd->happened_ms);
    }
    c->n++;
}

struct result check_last_good(struct draft *d, const struct check *c, const char *unit,
                              int64_t *out_ms)
{
    struct statement *q = store_prepare(d->store, Q_READING_GOOD_BEFORE);
    store_bind_text(q, 1, c->name);
    store_bind_text(q, 2, c->place.code);
    store_bind_text(q, 3, unit);
    store_bind_int(q, 4, d->cmd->happened_ms);
    bool row;
    TRY(store_step(q, &row));
    *out_ms = row ? store_int(q, 0) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

/* Between which good readings at its place the values lie that are outside. */
static struct result widen(struct draft *d, struct check *c, const char *unit, int64_t since_ms)
{
    int64_t until_ms = d->cmd->recorded_ms;
    struct statement *q = store_prepare(d->store, Q_READING_GOOD_AFTER);
    bool row;
    store_bind_text(q, 1, c->name);
    store_bind_text(q, 2, c->place.code);
    store_bind_text(q, 3, unit);
    store_bind_int(q, 4, d->cmd->happened_ms);
    TRY(store_step(q, &row));
    until_ms = row ? store_int(q, 0) : until_ms;
    while (row) {
        TRY(store_step(q, &row));
    }
    c->since_ms = !c->outside || since_ms < c->since_ms ? since_ms : c->since_ms;
    c->until_ms = until_ms > c->until_ms ? until_ms : c->until_ms;
    c->outside = true;
    return RESULT_OK;
}

static const char *limit_words(struct draft *d, const struct limit *l)
{
    const char *low = l->has_low ? decimal_text(d->arena, l->low, 3, false) : NULL;
    const char *high = l->has_high ? decimal_text(d->arena, l->high, 3, false) : NULL;
    if (low != NULL && high != NULL) {
        return arena_printf(d->arena, "%s to %s %s", low, high, l->unit);
    }
    return low != NULL    ? arena_printf(d->arena, "at least %s %s", low, l->unit)
           : high != NULL ? arena_printf(d->arena, "at most %s %s", high, l->unit)
                          : "a limit that the profile does not give";
}

/* Outside its limit: a deviation since the last reading inside. A value without any limit in force
 * is kept and is not good: nothing says that it is. */
struct result check_against_limit(struct draft *d, struct check *c, const char *field,
                                  const char *name, const char *unit, int64_t value_milli)
{
    struct limit l;
    int64_t since_ms = 0;
    const char *item = c->lot.id != 0 ? c->lot.item : NULL;
    TRY(limit_in_force(d->store, d->profile, name, item, d->cmd->happened_ms, &l));
    bool limited = l.has_low || l.has_high;
    bool outside = (l.has_low && value_milli < l.low) || (l.has_high && value_milli > l.high);
    const char *text =
        arena_printf(d->arena, "%s %s", decimal_text(d->arena, value_milli, 3, false), unit);
    if (outside && c->place.code != NULL) {
        TRY(check_last_good(d, c, unit, &since_ms));
        TRY(widen(d, c, unit, since_ms));
    }
    const char *wanted = limit_words(d, &l);
    check_reading(d, c, unit, true, value_milli, limited && !outside,
                  json_pack("{s:s}", "limit", wanted));
    json_object_set_new(d->answer, field, json_string(text));
    json_object_set_new(d->answer, "wanted", json_string(wanted));
    return outside ? draft_deviation(d, "check-outside", c->lot.id, c->place.code, since_ms,
                                     d->cmd->happened_ms,
                                     FAIL3(CHECK_OUTSIDE, field, c->name, text, wanted))
                   : RESULT_OK;
}

static struct result check_moisture(struct draft *d, struct check *c)
{
    const char *text = NULL;
    int64_t milli;
    TRY(json_get_text(d->cmd->body, "moisture", "moisture", JSON_NEEDED, &text));
    TRY(quantity_read(text, "%", "moisture", &milli));
    if (milli < 0 || milli > 100000) {
        return FAIL2(FIELD_RANGE, "moisture", text, "0 % to 100 %");
    }
    return check_against_limit(d, c, "moisture", "pack-moisture", "%", milli);
}

struct result check_read_temp(struct draft *d, enum json_need need, int64_t *out_mc, bool *given)
{
    const char *text = NULL;
    TRY(json_get_text(d->cmd->body, "temp", "temp", need, &text));
    *given = text != NULL;
    if (text == NULL) {
        return RESULT_OK;
    }
    TRY(temp_read(text, "temp", out_mc));
    return *out_mc >= -60000 && *out_mc <= 120000
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, "temp", text, "-60 C to 120 C");
}

static struct result check_cold(struct draft *d, struct check *c)
{
    int64_t mc = 0;
    bool given;
    TRY(check_read_temp(d, JSON_NEEDED, &mc, &given));
    return check_against_limit(d, c, "temp", "cold-room", "C", mc);
}

/* Seals, and whatever else is looked at. Where pieces were counted their number may say it all. */
static struct result check_look(struct draft *d, struct check *c)
{
    const char *what = "";
    bool good = c->counted;
    int64_t since_ms = 0;
    TRY(json_get_bool(d->cmd->body, "ok", "ok", c->counted ? JSON_OPTIONAL : JSON_NEEDED, &good));
    TRY(json_get_text(d->cmd->body, "what", "what",
                      strcmp(c->name, "inspect") == 0 ? JSON_NEEDED : JSON_OPTIONAL, &what));
    if (c->place.code != NULL) {
        TRY(check_last_good(d, c, "", &since_ms));
    }
    check_reading(d, c, "", false, 0, good, json_pack("{s:s}", "what", what));
    return good ? RESULT_OK
                : draft_deviation(d, "check-failed", c->lot.id, c->place.code, since_ms,
                                  d->cmd->happened_ms, FAIL2(CHECK_FAILED, "ok", c->name, what));
}

struct check_row {
    const char *name;
    struct result (*judge)(struct draft *d, struct check *c);
    bool needs_place, needs_lot;
    const char *fields[14]; /* NULL-ended */
};

static const struct check_row checks[] = {
    {"metal-check",
     check_metal,
     true,
     false,
     {"place", "run", "lot", "lots", "instrument", "fe", "non_fe", "steel", NULL}},
    {"moisture-check", check_moisture, false, true, {"lot", "instrument", "moisture", NULL}},
    {"label-check",
     check_label,
     false,
     true,
     {"lot", "item", "lot_code", "best_before", "net", "allergens", "inspected", "bad", "what",
      NULL}},
    {"seal-check",
     check_look,
     true,
     false,
     {"place", "run", "lot", "instrument", "ok", "what", "inspected", "bad", NULL}},
    {"cold-check", check_cold, true, false, {"place", "instrument", "temp", NULL}},
    {"water-reading",
     check_water,
     true,
     false,
     {"place", "run", "instrument", "chlorine", "ph", "temp", "turbidity", "flow", "solids",
      "conductivity", "make_up", "blow_down", "orp", NULL}},
    {"inspect",
     check_look,
     false,
     false,
     {"place", "run", "lot", "instrument", "ok", "what", "inspected", "bad", NULL}},
};

static struct result read_instrument(struct draft *d, struct check *c)
{
    struct instrument instrument;
    bool found;
    TRY(json_get_text(d->cmd->body, "instrument", "instrument", JSON_OPTIONAL, &c->instrument));
    if (c->instrument == NULL) {
        return RESULT_OK;
    }
    TRY(instrument_on(d->store, d->arena, c->instrument, d->cmd->happened_ms, &instrument, &found));
    if (!found) {
        return FAIL1(INSTRUMENT_UNKNOWN, "instrument", c->instrument);
    }
    c->overdue = instrument.due_ms < d->cmd->happened_ms;
    return c->overdue ? draft_deviation(d, "calibration-overdue", 0, NULL, instrument.due_ms,
                                        d->cmd->happened_ms,
                                        FAIL2(INSTRUMENT_OVERDUE, "instrument", c->instrument,
                                              civil_short(d->arena, instrument.due_ms)))
                      : RESULT_OK;
}

static struct result read_about(struct draft *d, const struct check_row *row, struct check *c)
{
    const json_t *o = d->cmd->body;
    TRY(place_named(d, "place", row->needs_place ? JSON_NEEDED : JSON_OPTIONAL, &c->place));
    TRY(run_named(d, &c->run));
    if (row->needs_lot || json_object_get(o, "lot") != NULL) {
        TRY(lot_named(d, o, "lot", "lot", &c->lot));
    }
    if (c->place.code == NULL && c->lot.id == 0 && c->run.id == 0) {
        return FAIL1(FIELD_MISSING, "place", "Name the place, run or lot that was looked at.");
    }
    const char *kinds = d->cmd->step->in_kinds;
    if (c->lot.id != 0 && kinds[0] != '\0' && !list_has(kinds, c->lot.kind)) {
        return FAIL3(LOT_KIND, "lot", c->lot.code, c->lot.kind, kinds);
    }
    return read_instrument(d, c);
}

struct result decide_check(struct draft *d)
{
    const struct check_row *row = NULL;
    struct check c = {.ok = true};
    struct check_pieces pieces;
    for (size_t i = 0; i < sizeof checks / sizeof checks[0]; i++) {
        if (strcmp(checks[i].name, d->cmd->step->check) == 0) {
            row = &checks[i];
        }
    }
    if (row == NULL) {
        return FAIL2(CHECK_UNKNOWN, "kind", d->cmd->kind, d->cmd->step->check);
    }
    c.name = row->name;
    TRY(draft_only(d, "this check", row->fields));
    TRY(read_about(d, row, &c));
    TRY(check_pieces_read(d, &c, &pieces));
    TRY(row->judge(d, &c));
    TRY(check_pieces_book(d, &c, &pieces));
    if (c.ok) {
        TRY(duties_met(d, "check", c.place.code, c.name));
    }
    json_object_set_new(d->answer, "ok", json_boolean(c.ok));
    return RESULT_OK;
}
