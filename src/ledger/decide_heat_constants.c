#include <string.h>

#include "base/decimal.h"
#include "ledger/view.h"

/* Constants signed by a process authority for one seed item, with the signed report attached. */
struct result decide_heat_constants(struct draft *d)
{
    static const char *const names[] = {"item",  "authority",  "reference_temp", "z",      "d",
                                        "limit", "tested_max", "target_milli",   "report", NULL};
    const json_t *o = d->cmd->body;
    const char *item = NULL, *authority = NULL, *text = NULL;
    int64_t reference_mc, z_mc, d_ms, limit_mc, tested_mc, target;
    struct hash report;
    TRY(draft_only(d, "signed heat constants", names));
    TRY(json_get_text(o, "item", "item", JSON_NEEDED, &item));
    struct item known;
    bool found;
    TRY(item_by_code(d->store, d->arena, item, &known, &found));
    if (!found) {
        return FAIL1(ITEM_UNKNOWN, "item", item);
    }
    TRY(json_get_text(o, "authority", "authority", JSON_NEEDED, &authority));
    TRY(json_get_int(o, "target_milli", "target_milli", JSON_NEEDED, 1, 12000, &target));
    static const char *const temps[] = {"reference_temp", "z", "limit", "tested_max"};
    int64_t *const into[] = {&reference_mc, &z_mc, &limit_mc, &tested_mc};
    for (size_t i = 0; i < 4; i++) {
        TRY(json_get_text(o, temps[i], temps[i], JSON_NEEDED, &text));
        TRY(temp_read(text, temps[i], into[i]));
        if (*into[i] < (i == 1 ? 1 : -60000) || *into[i] > 300000) {
            return FAIL2(FIELD_RANGE, temps[i], text, "a temperature of a heat treatment");
        }
    }
    TRY(json_get_text(o, "d", "d", JSON_NEEDED, &text));
    TRY(duration_read(text, "d", &d_ms));
    if (d_ms <= 0) {
        return FAIL2(FIELD_RANGE, "d", text, "longer than nothing");
    }
    TRY(json_get_text(o, "report", "report", JSON_NEEDED, &text));
    TRY(hex_read(text, "report", report.b, sizeof report.b));
    struct statement *q = store_prepare(d->store, Q_PAPER_KIND);
    store_bind_bytes(q, 1, report.b, sizeof report.b);
    bool row;
    TRY(store_step(q, &row));
    if (!row || strcmp(store_text(q, 0), "validation") != 0) {
        return FAIL1(PAPER_UNKNOWN, "report", text);
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    draft_add(d, EFFECT_HEAT_CONSTANTS, "ttiiiiiibi", item, authority, reference_mc, z_mc, d_ms,
              tested_mc, limit_mc, target, &report, d->cmd->happened_ms);
    return RESULT_OK;
}
