/* Complaints, by lot and kind. A third of one kind on a lot, or on its item within a month, asks
 * quality to look at them together; one of illness asks at once (common practice). */
#include <string.h>

#include "base/check.h"
#include "ledger/listed.h"
#include "ledger/view.h"

static const char complaint_kinds[] =
    "foreign-body,spoiled,short-weight,label,packaging,illness,delivery,other";
enum { ALIKE = 3 };
#define MONTH_MS (INT64_C(30) * 86400000)

static struct result count_like(struct draft *d, enum query query, const char *kind, int64_t lot,
                                const char *item, int64_t *out)
{
    struct statement *q = store_prepare(d->store, query);
    store_bind_text(q, 1, "complaint");
    store_bind_text(q, 2, kind);
    if (item == NULL) {
        store_bind_int(q, 3, lot);
    } else {
        store_bind_text(q, 3, item);
        store_bind_int(q, 4, d->cmd->happened_ms - MONTH_MS);
    }
    bool row;
    TRY(store_step(q, &row));
    *out = row ? store_int(q, 0) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result read_lot(struct draft *d, struct lot *out)
{
    const json_t *o = d->cmd->body;
    const char *code = NULL;
    struct unit unit;
    bool found;
    TRY(json_get_text(o, "unit", "unit", JSON_OPTIONAL, &code));
    if (code == NULL) {
        return lot_named(d, o, "lot", "lot", out);
    }
    TRY(unit_by_code(d->store, d->arena, code, &unit, &found));
    if (!found) {
        return FAIL1(UNIT_UNKNOWN, "unit", code);
    }
    TRY(lot_by_id(d->store, d->arena, unit.lot, out, &found));
    CHECK(found);
    return RESULT_OK;
}

struct result decide_complaint(struct draft *d)
{
    static const char *const names[] = {"lot",      "unit",   "complaint", "what",
                                        "customer", "pieces", NULL};
    const json_t *o = d->cmd->body;
    const char *kind, *what, *customer = NULL;
    struct lot lot;
    int64_t pieces = 0, of_lot, of_item;
    TRY(draft_only(d, "a complaint", names));
    TRY(read_lot(d, &lot));
    TRY(listed_choice(o, "complaint", complaint_kinds, JSON_NEEDED, &kind));
    TRY(listed_words(o, "what", 1000, JSON_NEEDED, &what));
    TRY(json_get_text(o, "customer", "customer", JSON_OPTIONAL, &customer));
    TRY(json_get_int(o, "pieces", "pieces", JSON_OPTIONAL, 1, 1000000, &pieces));
    if (customer != NULL) {
        struct partner partner;
        bool found;
        TRY(partner_by_code(d->store, d->arena, customer, &partner, &found));
        if (!found || strcmp(partner.role, "customer") != 0) {
            return FAIL2(PARTNER_UNKNOWN, "customer", customer, "customer");
        }
    }
    TRY(count_like(d, Q_NOTED_OF_LOT_LIKE, kind, lot.id, NULL, &of_lot));
    TRY(count_like(d, Q_NOTED_OF_ITEM_LIKE, kind, 0, lot.item, &of_item));
    noted_add(d, 0,
              &(struct noting){.kind = "complaint",
                               .code = kind,
                               .lot = lot.id,
                               .data = json_pack("{s:s,s:s?,s:I}", "what", what, "customer",
                                                 customer, "pieces", (json_int_t)pieces)});
    bool illness = strcmp(kind, "illness") == 0;
    bool alike = (of_lot + 1) % ALIKE == 0 || (of_item + 1) % ALIKE == 0;
    if (illness || alike) {
        draft_task(d, illness ? "complaint-illness" : "complaints-alike", kind, lot.id, NULL,
                   d->cmd->recorded_ms);
    }
    json_object_set_new(d->answer, "lot", json_string(lot.code));
    json_object_set_new(d->answer, "alike_lot", json_integer(of_lot + 1));
    json_object_set_new(d->answer, "alike_item", json_integer(of_item + 1));
    return RESULT_OK;
}
