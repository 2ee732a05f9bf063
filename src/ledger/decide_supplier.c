/* Which suppliers are approved, for how long, and the certificates that say so. What comes from one
 * that is not approved is held until its papers are there. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/listed.h"
#include "ledger/supplier.h"
#include "ledger/view.h"

static struct result partner_there(struct draft *d, const char *key, enum json_need need,
                                   const char **out)
{
    struct partner partner;
    bool found;
    *out = NULL;
    TRY(json_get_text(d->cmd->body, key, key, need, out));
    if (*out == NULL) {
        return RESULT_OK;
    }
    TRY(partner_by_code(d->store, d->arena, *out, &partner, &found));
    return found && strcmp(partner.role, "supplier") == 0
               ? RESULT_OK
               : FAIL2(PARTNER_UNKNOWN, key, *out, "supplier");
}

struct result decide_supplier(struct draft *d)
{
    static const char *const names[] = {"supplier", "state", "until", NULL};
    const json_t *o = d->cmd->body;
    const char *supplier, *state;
    int64_t until_ms;
    TRY(draft_only(d, "a supplier's approval", names));
    TRY(partner_there(d, "supplier", JSON_NEEDED, &supplier));
    TRY(listed_choice(o, "state", "approved,suspended", JSON_NEEDED, &state));
    bool approved = strcmp(state, "approved") == 0;
    TRY(listed_until(d, "until", approved ? JSON_NEEDED : JSON_OPTIONAL, &until_ms));
    if (d->cmd->reason == NULL || d->cmd->reason[0] == '\0') {
        return FAIL1(FIELD_MISSING, "reason", "Say what this rests on.");
    }
    listed_add(d, "supplier", supplier, NULL, NULL, until_ms, approved,
               json_pack("{s:s,s:s}", "state", state, "reason", d->cmd->reason));
    json_object_set_new(d->answer, "supplier", json_string(supplier));
    return RESULT_OK;
}

struct result supplier_approved(struct draft *d, const char *supplier, bool *out)
{
    struct listed l;
    bool found;
    *out = d->profile == NULL || !d->profile->suppliers_approved;
    if (*out) {
        return RESULT_OK;
    }
    TRY(listed_one(d->store, d->arena, "supplier", supplier, &l, &found));
    if (found) {
        *out = l.active && l.at_ms <= d->cmd->happened_ms && l.until_ms > d->cmd->happened_ms;
        listed_free(&l, 1);
    }
    return RESULT_OK;
}

struct result supplier_hold(struct draft *d, int64_t lot, const char *supplier)
{
    bool approved;
    int64_t hold;
    TRY(supplier_approved(d, supplier, &approved));
    if (approved) {
        return RESULT_OK;
    }
    TRY(draft_break(d, "supplier-not-approved", lot, NULL, 0, 0,
                    FAIL1(SUPPLIER_NOT_APPROVED, "supplier", supplier)));
    const char *code = draft_hold(d, "supplier", "use,mix,pack,release,load", "paper",
                                  "the supplier was not approved when it came", 0, 0, 0, &hold);
    draft_hold_on(d, hold, lot, 0, "named");
    json_object_set_new(d->answer, "hold", json_string(code));
    return RESULT_OK;
}

struct result decide_certificate(struct draft *d)
{
    static const char *const names[] = {"code",  "certificate", "supplier", "instrument",
                                        "until", "paper",       "active",   NULL};
    const json_t *o = d->cmd->body;
    const char *code, *kind, *supplier, *instrument = NULL, *paper = NULL;
    int64_t until_ms;
    bool active = true;
    TRY(draft_only(d, "a certificate", names));
    TRY(listed_code(o, "code", JSON_NEEDED, &code));
    TRY(listed_words(o, "certificate", 80, JSON_NEEDED, &kind));
    TRY(partner_there(d, "supplier", JSON_OPTIONAL, &supplier));
    TRY(json_get_text(o, "instrument", "instrument", JSON_OPTIONAL, &instrument));
    if (instrument != NULL) {
        struct instrument i;
        bool found;
        TRY(instrument_on(d->store, d->arena, instrument, d->cmd->happened_ms, &i, &found));
        if (!found) {
            return FAIL1(INSTRUMENT_UNKNOWN, "instrument", instrument);
        }
    }
    TRY(listed_until(d, "until", JSON_NEEDED, &until_ms));
    TRY(json_get_bool(o, "active", "active", JSON_OPTIONAL, &active));
    TRY(json_get_text(o, "paper", "paper", JSON_OPTIONAL, &paper));
    if (paper != NULL) {
        struct hash sha;
        bool row;
        TRY(hex_read(paper, "paper", sha.b, sizeof sha.b));
        struct statement *q = store_prepare(d->store, Q_PAPER_KIND);
        store_bind_bytes(q, 1, sha.b, sizeof sha.b);
        TRY(store_step(q, &row));
        if (!row) {
            return FAIL1(PAPER_UNKNOWN, "paper", paper);
        }
        while (row) {
            TRY(store_step(q, &row));
        }
    }
    listed_add(d, "certificate", code, NULL, supplier != NULL ? supplier : instrument, until_ms,
               active, json_pack("{s:s,s:s?}", "certificate", kind, "paper", paper));
    json_object_set_new(d->answer, "certificate", json_string(code));
    return RESULT_OK;
}
