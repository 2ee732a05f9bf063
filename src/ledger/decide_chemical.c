/* Chemicals by lot, with what a titration found of their strength. A clean that names one counts
 * only while that lot is in date and its last titration was good. */
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "ledger/chemical.h"
#include "ledger/listed.h"
#include "ledger/quantity.h"
#include "ledger/view.h"

struct result decide_chemical(struct draft *d)
{
    static const char *const names[] = {"code",        "agent",     "supplier", "best_before",
                                        "active",      "substance", "form",     "strength",
                                        "strength_of", "density",   NULL};
    const json_t *o = d->cmd->body;
    const char *code, *agent, *supplier = NULL;
    int64_t until_ms;
    bool active = true;
    TRY(draft_only(d, "a lot of a chemical", names));
    TRY(listed_code(o, "code", JSON_NEEDED, &code));
    TRY(listed_words(o, "agent", 80, JSON_NEEDED, &agent));
    TRY(json_get_text(o, "supplier", "supplier", JSON_OPTIONAL, &supplier));
    TRY(listed_until(d, "best_before", JSON_NEEDED, &until_ms));
    TRY(json_get_bool(o, "active", "active", JSON_OPTIONAL, &active));
    json_t *data = json_pack("{s:s}", "agent", agent);
    struct result r = chemical_read(o, data);
    if (r.code != CODE_OK) {
        json_decref(data);
        return r;
    }
    listed_add(d, "chemical", code, NULL, supplier, until_ms, active, data);
    json_object_set_new(d->answer, "chemical", json_string(code));
    return RESULT_OK;
}

static struct result read_strength(const json_t *o, const char *key, int64_t *out)
{
    const char *text = NULL;
    TRY(json_get_text(o, key, key, JSON_NEEDED, &text));
    TRY(quantity_read(text, "%", key, out));
    return *out >= 0 && *out <= 100000 ? RESULT_OK : FAIL2(FIELD_RANGE, key, text, "0 % to 100 %");
}

struct result decide_titration(struct draft *d)
{
    static const char *const names[] = {"chemical", "strength", "low", "high", NULL};
    const json_t *o = d->cmd->body;
    const char *code;
    struct listed chemical;
    int64_t strength, low, high;
    bool found;
    TRY(draft_only(d, "a titration", names));
    TRY(json_get_text(o, "chemical", "chemical", JSON_NEEDED, &code));
    TRY(listed_one(d->store, d->arena, "chemical", code, &chemical, &found));
    if (!found) {
        return FAIL1(CHEMICAL_UNKNOWN, "chemical", code);
    }
    listed_free(&chemical, 1);
    TRY(read_strength(o, "strength", &strength));
    TRY(read_strength(o, "low", &low));
    TRY(read_strength(o, "high", &high));
    if (low > high) {
        return FAIL2(FIELD_RANGE, "low", decimal_text(d->arena, low, 3, false), "at most high");
    }
    bool ok = strength >= low && strength <= high;
    noted_add(d, 0,
              &(struct noting){.kind = "titration",
                               .code = code,
                               .ok = ok,
                               .data = json_pack("{s:I,s:I,s:I}", "strength_milli",
                                                 (json_int_t)strength, "low_milli", (json_int_t)low,
                                                 "high_milli", (json_int_t)high)});
    json_object_set_new(d->answer, "ok", json_boolean(ok));
    return ok ? RESULT_OK
              : draft_deviation(
                    d, "chemical-off", 0, NULL, 0, 0,
                    FAIL3(CHEMICAL_OFF, "strength", code,
                          decimal_text(d->arena, strength, 3, false),
                          arena_printf(d->arena, "%s to %s", decimal_text(d->arena, low, 3, false),
                                       decimal_text(d->arena, high, 3, false))));
}

struct result chemical_good(struct draft *d, const char *code, const char *agent, int64_t at_ms,
                            const char **out_why)
{
    struct listed l;
    bool found, row;
    *out_why = NULL;
    TRY(listed_one(d->store, d->arena, "chemical", code, &l, &found));
    if (!found) {
        return FAIL1(CHEMICAL_UNKNOWN, "chemical", code);
    }
    bool same = agent == NULL || strcmp(listed_text(&l, "agent"), agent) == 0;
    listed_free(&l, 1);
    struct statement *q = store_prepare(d->store, Q_NOTED_LAST);
    store_bind_text(q, 1, "titration");
    store_bind_text(q, 2, code);
    TRY(store_step(q, &row));
    bool off = row && store_int(q, 1) == 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    *out_why = !same                 ? "it is another agent"
               : !l.active           ? "it is no longer in use"
               : l.until_ms <= at_ms ? "it is past its date"
               : off                 ? "its last titration was out of range"
                                     : NULL;
    return RESULT_OK;
}
