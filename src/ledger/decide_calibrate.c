/* An instrument held against a reference: what it was found to be off by speaks of everything that
 * was read with it since the last time it was found good. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/duty.h"
#include "ledger/view.h"

/* A whole number in the smallest unit of what the instrument measures. */
static struct result read_whole(struct draft *d, const char *key, int64_t low, int64_t *out)
{
    const json_t *value = json_object_get(d->cmd->body, key);
    if (json_is_integer(value)) {
        *out = json_integer_value(value);
    } else {
        const char *text = NULL;
        TRY(json_get_text(d->cmd->body, key, key, JSON_NEEDED, &text));
        TRY(decimal_read(text, 0, key, out));
    }
    const char *shown = arena_printf(d->arena, "%lld", (long long)*out);
    return *out >= low && *out <= MASS_MAX_MG
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, key, shown, low < 0 ? "a smaller number" : "zero or more");
}

static struct result last_good(struct draft *d, const char *instrument, int64_t *out_ms)
{
    struct statement *q = store_prepare(d->store, Q_CALIBRATION_GOOD_BEFORE);
    store_bind_text(q, 1, instrument);
    store_bind_int(q, 2, d->cmd->happened_ms);
    bool row;
    TRY(store_step(q, &row));
    *out_ms = row ? store_int(q, 0) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result decide_calibrate(struct draft *d)
{
    static const char *const names[] = {"instrument", "as_found_error", "uncertainty", "due", "ok",
                                        NULL};
    const json_t *o = d->cmd->body;
    const char *code = NULL, *due = NULL;
    struct instrument instrument;
    bool ok = false, found;
    int64_t error, uncertainty, due_ms, since_ms, at_ms = d->cmd->happened_ms;
    TRY(draft_only(d, "a calibration", names));
    TRY(json_get_text(o, "instrument", "instrument", JSON_NEEDED, &code));
    TRY(instrument_on(d->store, d->arena, code, at_ms, &instrument, &found));
    if (!found) {
        return FAIL1(INSTRUMENT_UNKNOWN, "instrument", code);
    }
    TRY(read_whole(d, "as_found_error", -MASS_MAX_MG, &error));
    TRY(read_whole(d, "uncertainty", 0, &uncertainty));
    TRY(json_get_text(o, "due", "due", JSON_NEEDED, &due));
    TRY(civil_read(due, "due", &due_ms));
    TRY(json_get_bool(o, "ok", "ok", JSON_NEEDED, &ok));
    if (due_ms <= at_ms) {
        return FAIL2(FIELD_RANGE, "due", due, "later than the calibration");
    }
    TRY(last_good(d, code, &since_ms));
    draft_add(d, EFFECT_CALIBRATION, "tiiiii", code, (int64_t)ok, error, uncertainty, due_ms,
              at_ms);
    int64_t off = error < 0 ? -error : error;
    /* what its readings were judged with until now */
    bool beyond = off > instrument.uncertainty;
    if (!ok || beyond) {
        const char *by = arena_printf(d->arena, "%lld", (long long)error);
        const char *allowed = arena_printf(d->arena, "%lld", (long long)instrument.uncertainty);
        TRY(draft_deviation(d, "calibration-off", 0, instrument.place, since_ms, at_ms,
                            FAIL3(CALIBRATION_OFF, "as_found_error", code, by, allowed)));
    }
    if (ok && !beyond) {
        TRY(duties_met(d, "calibrate", instrument.place, code));
    }
    json_object_set_new(d->answer, "instrument", json_string(code));
    json_object_set_new(d->answer, "ok", json_boolean(ok));
    json_object_set_new(d->answer, "within_uncertainty", json_boolean(!beyond));
    return RESULT_OK;
}
