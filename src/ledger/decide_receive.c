/* Seed and goods come in: one delivery of one supplier lot is a lot of its own. */
#include <string.h>
#include <strings.h>

#include "base/civil.h"
#include "ledger/acceptance.h"
#include "ledger/agreed.h"
#include "ledger/bought.h"
#include "ledger/markets.h"
#include "ledger/supplier.h"
#include "ledger/view.h"

enum { PAPERS_MAX = 100 };

static struct result read_partner(struct draft *d, const char **out)
{
    struct partner partner;
    bool found;
    TRY(json_get_text(d->cmd->body, "supplier", "supplier", JSON_NEEDED, out));
    TRY(partner_by_code(d->store, d->arena, *out, &partner, &found));
    if (!found || strcmp(partner.role, "supplier") != 0) {
        return FAIL2(PARTNER_UNKNOWN, "supplier", *out, "supplier");
    }
    return RESULT_OK;
}

/* The supplier's own lot, the unit of hazard. Without a code on the sacks the delivery is its own,
 * and says so. */
static struct result supplier_lot(struct draft *d, const char *supplier, const char *item,
                                  const char *code, int64_t *out_id, const char **out_name)
{
    bool unnamed = code == NULL || code[0] == '\0';
    const char *name =
        unnamed ? arena_printf(d->arena, "no code, entry %lld", (long long)d->seq) : code;
    *out_name = name;
    struct statement *q = store_prepare(d->store, Q_LOT_OF_SUPPLIER);
    store_bind_text(q, 1, supplier);
    store_bind_text(q, 2, name);
    bool row;
    TRY(store_step(q, &row));
    if (row) {
        *out_id = store_int(q, 0);
        while (row) {
            TRY(store_step(q, &row));
        }
        return RESULT_OK;
    }
    struct new_lot lot = {
        .code = arena_printf(d->arena, "%s/%s", supplier,
                             unnamed ? arena_printf(d->arena, "E%lld", (long long)d->seq) : code),
        .item = item,
        .kind = "supplier",
        .born_ms = d->cmd->happened_ms,
        .day = d->cmd->day,
        .supplier = supplier,
        .supplier_code = name};
    const char *made;
    return draft_lot(d, &lot, out_id, &made);
}

static struct result read_papers(struct draft *d, int64_t lot, const char *supplier)
{
    json_t *papers = NULL;
    TRY(json_get_array(d->cmd->body, "papers", "papers", JSON_OPTIONAL, &papers));
    if (json_array_size(papers) > PAPERS_MAX) {
        return FAIL2(FIELD_RANGE, "papers", "too long", "at most 100 papers");
    }
    size_t i;
    json_t *value;
    json_array_foreach(papers, i, value)
    {
        const char *path = arena_printf(d->arena, "papers[%zu]", i);
        struct hash sha;
        if (!json_is_string(value)) {
            return FAIL2(FIELD_TYPE, path, "the SHA-256 of an attachment", "something else");
        }
        TRY(hex_read(json_string_value(value), path, sha.b, sizeof sha.b));
        for (size_t k = 0; k < i; k++) {
            if (strcasecmp(json_string_value(json_array_get(papers, k)),
                           json_string_value(value)) == 0) {
                return FAIL2(FIELD_RANGE, path, json_string_value(value), "named once only");
            }
        }
        struct statement *q = store_prepare(d->store, Q_PAPER_KIND);
        store_bind_bytes(q, 1, sha.b, sizeof sha.b);
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return FAIL1(PAPER_UNKNOWN, path, json_string_value(value));
        }
        const char *kind = arena_copy(d->arena, store_text(q, 0));
        while (row) {
            TRY(store_step(q, &row));
        }
        draft_add(d, EFFECT_PAPER, "btot", &sha, kind, lot, supplier);
    }
    return RESULT_OK;
}

static struct result read_lot_facts(struct draft *d, struct new_lot *lot, struct item *out_item)
{
    const json_t *o = d->cmd->body;
    TRY(json_get_text(o, "item", "item", JSON_NEEDED, &lot->item));
    TRY(bought_item(d, lot->item, out_item));
    lot->kind = out_item->kind;
    TRY(json_get_text(o, "lot", "lot", JSON_OPTIONAL, &lot->code));
    const char *best_before = NULL;
    TRY(json_get_text(o, "best_before", "best_before", JSON_OPTIONAL, &best_before));
    if (best_before != NULL) {
        TRY(day_read(best_before, "best_before", &lot->best_before));
    }
    TRY(markets_read(d, JSON_OPTIONAL, &lot->markets));
    lot->born_ms = d->cmd->happened_ms;
    lot->day = d->cmd->day;
    return RESULT_OK;
}

/* Weighed, or counted where a piece's mass is known. */
static struct result read_amount(struct draft *d, const struct item *item, struct amount *out,
                                 int64_t *out_pieces)
{
    bool given;
    *out = (struct amount){.unit = UNIT_MG, .how = HOW_COUNTED};
    TRY(bought_pieces(d, item, out_pieces, &out->value));
    if (*out_pieces == 0) {
        TRY(draft_read_mass(d, d->cmd->body, "", JSON_NEEDED, HOW_WEIGHED, out, &given));
    }
    return out->value > 0 ? RESULT_OK : FAIL2(FIELD_RANGE, "mass", "0", "more than nothing");
}

struct result decide_receive(struct draft *d)
{
    static const char *const names[] = {
        "supplier", "supplier_lot", "item",     "mass",   "how",   "instrument",
        "gross",    "tare",         "place",    "lot",    "sacks", "best_before",
        "markets",  "pieces",       "delivery", "papers", NULL};
    const json_t *o = d->cmd->body;
    const char *supplier, *code = NULL, *lot_code, *supplier_name;
    struct new_lot lot = {0};
    struct place place;
    struct amount amount;
    struct item item;
    int64_t parent, id, pieces, sacks = 0;
    TRY(draft_only(d, "a receipt", names));
    TRY(read_partner(d, &supplier));
    TRY(read_lot_facts(d, &lot, &item));
    TRY(json_get_text(o, "supplier_lot", "supplier_lot", JSON_OPTIONAL, &code));
    TRY(json_get_int(o, "sacks", "sacks", JSON_OPTIONAL, 1, 100000, &sacks));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(read_amount(d, &item, &amount, &pieces));
    TRY(supplier_lot(d, supplier, lot.item, code, &parent, &supplier_name));
    lot.place = place.code;
    lot.supplier = supplier;
    lot.supplier_code = supplier_name;
    lot.supplier_lot = parent;
    TRY(draft_lot(d, &lot, &id, &lot_code));
    draft_move_account(d, "supplier", -1, &amount);
    TRY(draft_move_lot(d, id, lot_code, 1, &amount));
    TRY(draft_edge(d, parent, id, amount.value, "measured"));
    int64_t start_ms = d->cmd->happened_ms;
    int64_t step =
        draft_step(d, place.code, 0, start_ms, start_ms, id,
                   sacks > 0 ? arena_printf(d->arena, "%lld sacks", (long long)sacks) : "");
    draft_step_lot(d, step, id, "out", amount.value, start_ms, start_ms);
    TRY(read_papers(d, id, supplier));
    TRY(supplier_hold(d, id, supplier));
    TRY(acceptance_deliver(d, id, supplier, lot.item, sacks));
    TRY(agreed_come(d, supplier, lot.item, id, amount.value, pieces));
    if (strcmp(item.kind, "seed") == 0) {
        draft_add(d, EFFECT_SEED_STATE, "itti", id, "received", "", start_ms);
    }
    json_object_set_new(d->answer, "lot", json_string(lot_code));
    json_object_set_new(d->answer, "supplier_lot", json_string(supplier_name));
    json_object_set_new(d->answer, "no_code_on_sacks",
                        json_boolean(code == NULL || code[0] == '\0'));
    return RESULT_OK;
}
