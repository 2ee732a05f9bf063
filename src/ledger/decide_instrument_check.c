/* The daily check of an instrument against a known weight, bath or solution. It speaks of the
 * readings since the last good one just as a calibration does, but leaves the calibration's day. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/duty.h"
#include "ledger/quantity.h"
#include "ledger/view.h"

/* In the smallest unit of what the instrument measures: mg, mC, 1/1000 otherwise. */
static struct result read_shown(const struct instrument *i, const json_t *o, const char *key,
                                int64_t *out)
{
    const char *text = NULL;
    TRY(json_get_text(o, key, key, JSON_NEEDED, &text));
    if (list_has("scale,checkweigher", i->kind)) {
        return mass_read(text, key, out);
    }
    if (strcmp(i->kind, "thermometer") == 0) {
        return temp_read(text, key, out);
    }
    const char *unit = strcmp(i->kind, "chlorine-meter") == 0   ? "mg/L"
                       : strcmp(i->kind, "moisture-meter") == 0 ? "%"
                       : strcmp(i->kind, "flow-meter") == 0     ? "L/min"
                                                                : "";
    return quantity_read(text, unit, key, out);
}

struct result decide_instrument_check(struct draft *d)
{
    static const char *const names[] = {"instrument", "reference", "shown", NULL};
    const json_t *o = d->cmd->body;
    const char *code = NULL;
    struct instrument instrument;
    bool found, row;
    int64_t reference, shown, at_ms = d->cmd->happened_ms;
    TRY(draft_only(d, "the check of an instrument", names));
    TRY(json_get_text(o, "instrument", "instrument", JSON_NEEDED, &code));
    TRY(instrument_on(d->store, d->arena, code, at_ms, &instrument, &found));
    if (!found) {
        return FAIL1(INSTRUMENT_UNKNOWN, "instrument", code);
    }
    TRY(read_shown(&instrument, o, "reference", &reference));
    TRY(read_shown(&instrument, o, "shown", &shown));
    struct statement *q = store_prepare(d->store, Q_CALIBRATION_GOOD_BEFORE);
    store_bind_text(q, 1, code);
    store_bind_int(q, 2, at_ms);
    TRY(store_step(q, &row));
    int64_t since_ms = row ? store_int(q, 0) : 0, error = shown - reference;
    while (row) {
        TRY(store_step(q, &row));
    }
    int64_t allowed =
        instrument.uncertainty > instrument.division ? instrument.uncertainty : instrument.division;
    /* what failed or is past its day is good again only once it is calibrated */
    bool overdue = instrument.due_ms < at_ms, within = (error < 0 ? -error : error) <= allowed;
    bool ok = within && !overdue;
    draft_add(d, EFFECT_CALIBRATION, "tiiiii", code, (int64_t)ok, error, instrument.uncertainty,
              instrument.due_ms, at_ms);
    json_object_set_new(d->answer, "instrument", json_string(code));
    json_object_set_new(d->answer, "error", json_integer(error));
    json_object_set_new(d->answer, "ok", json_boolean(ok));
    if (ok) {
        return duties_met(d, "instrument-check", instrument.place, code);
    }
    if (within) {
        return draft_deviation(d, "calibration-overdue", 0, instrument.place, instrument.due_ms,
                               at_ms,
                               FAIL2(INSTRUMENT_OVERDUE, "instrument", code,
                                     civil_short(d->arena, instrument.due_ms)));
    }
    return draft_deviation(d, "calibration-off", 0, instrument.place, since_ms, at_ms,
                           FAIL3(CALIBRATION_OFF, "shown", code,
                                 arena_printf(d->arena, "%lld", (long long)error),
                                 arena_printf(d->arena, "%lld", (long long)allowed)));
}
