/* A delivery is agreed with a supplier, changed under the same code, or taken back (active false);
 * receipts that name it say what of it has come. */
#include "ledger/agreed.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/bought.h"
#include "ledger/view.h"

enum { TERMS_MAX = 500 };

static const char *const kind = "delivery", *const come = "delivery-come";

static struct result check_supplier(struct draft *d, const char *supplier)
{
    struct partner partner;
    bool found;
    TRY(partner_by_code(d->store, d->arena, supplier, &partner, &found));
    return found && strcmp(partner.role, "supplier") == 0
               ? RESULT_OK
               : FAIL2(PARTNER_UNKNOWN, "supplier", supplier, "supplier");
}

static struct result read_mass(const json_t *o, int64_t *out_mg)
{
    const char *mass = NULL;
    TRY(json_get_text(o, "mass", "mass", JSON_NEEDED, &mass));
    TRY(mass_read(mass, "mass", out_mg));
    return *out_mg > 0 && *out_mg <= MASS_MAX_MG
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, "mass", mass, "more than nothing, at most a million tonnes");
}

struct result decide_delivery_agree(struct draft *d)
{
    static const char *const names[] = {"code",   "supplier", "item",   "day", "mass",
                                        "pieces", "terms",    "active", NULL};
    const json_t *o = d->cmd->body;
    const char *code, *supplier = NULL, *item = NULL, *given = NULL, *terms = "";
    int32_t day;
    int64_t mass_mg, pieces;
    struct item of;
    bool active = true;
    TRY(draft_only(d, "a delivery agreed", names));
    TRY(listed_code(o, "code", JSON_NEEDED, &code));
    TRY(json_get_text(o, "supplier", "supplier", JSON_NEEDED, &supplier));
    TRY(json_get_text(o, "item", "item", JSON_NEEDED, &item));
    TRY(check_supplier(d, supplier));
    TRY(bought_item(d, item, &of));
    TRY(json_get_text(o, "day", "day", JSON_NEEDED, &given));
    TRY(day_read(given, "day", &day));
    TRY(bought_pieces(d, &of, &pieces, &mass_mg));
    if (pieces == 0) {
        TRY(read_mass(o, &mass_mg));
    }
    TRY(listed_words(o, "terms", TERMS_MAX, JSON_OPTIONAL, &terms));
    TRY(json_get_bool(o, "active", "active", JSON_OPTIONAL, &active));
    json_t *data =
        json_pack("{s:s,s:s,s:s,s:I,s:s}", "supplier", supplier, "item", item, "day",
                  day_text(d->arena, day), "mass_mg", (json_int_t)mass_mg, "terms", terms);
    CHECK(data != NULL);
    if (pieces > 0) {
        json_object_set_new(data, "piece_mg", json_integer(of.net_mg));
    }
    listed_add(d, kind, code, NULL, supplier, 0, active, data);
    json_object_set_new(d->answer, "delivery", json_string(code));
    return RESULT_OK;
}

struct result agreed_come(struct draft *d, const char *supplier, const char *item, int64_t lot,
                          int64_t mass_mg, int64_t pieces)
{
    const char *code = NULL;
    struct listed l;
    bool found;
    TRY(listed_code(d->cmd->body, "delivery", JSON_OPTIONAL, &code));
    if (code == NULL) {
        return RESULT_OK;
    }
    TRY(listed_one(d->store, d->arena, kind, code, &l, &found));
    if (!found) {
        return FAIL1(DELIVERY_UNKNOWN, "delivery", code);
    }
    const char *of = arena_copy(d->arena, listed_text(&l, "item")),
               *from = arena_copy(d->arena, listed_text(&l, "supplier"));
    int64_t piece_mg = listed_int(&l, "piece_mg");
    listed_free(&l, 1);
    if (!l.active) {
        return FAIL1(DELIVERY_UNKNOWN, "delivery", code);
    }
    if (strcmp(of, item) != 0 || strcmp(from, supplier) != 0) {
        return FAIL3(DELIVERY_OTHER, "delivery", code, of, from);
    }
    if (pieces > 0 && piece_mg > 0 && __builtin_mul_overflow(pieces, piece_mg, &mass_mg)) {
        return FAIL2(FIELD_RANGE, "pieces", "more", "more than nothing, at most a million tonnes");
    }
    noted_add(d, 1,
              &(struct noting){.kind = come,
                               .code = code,
                               .lot = lot,
                               .ok = true,
                               .data = json_pack("{s:I}", "mass_mg", (json_int_t)mass_mg)});
    return RESULT_OK;
}

/* By code, as the list is: what receipts brought of each. */
static struct result read_come(struct store *s, struct agreed *list, size_t count)
{
    struct statement *q = store_prepare(s, Q_NOTED_ALL);
    size_t at = 0;
    store_bind_text(q, 1, come);
    for (;;) {
        bool row;
        json_t *data;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        const char *code = store_text(q, 0);
        while (at < count && strcmp(list[at].code, code) < 0) {
            at++;
        }
        if (at < count && strcmp(list[at].code, code) == 0) {
            TRY(json_read_stored(store_text(q, 1), &data));
            list[at].come_mg += json_integer_value(json_object_get(data, "mass_mg"));
            json_decref(data);
        }
    }
}

static struct result read_one(struct arena *a, const struct listed *l, struct agreed *out)
{
    *out = (struct agreed){.code = l->code,
                           .item = arena_copy(a, listed_text(l, "item")),
                           .supplier = arena_copy(a, listed_text(l, "supplier")),
                           .terms = arena_copy(a, listed_text(l, "terms")),
                           .mass_mg = listed_int(l, "mass_mg"),
                           .piece_mg = listed_int(l, "piece_mg"),
                           .entry = l->entry};
    return day_read(listed_text(l, "day"), "day", &out->day);
}

int64_t agreed_left_mg(const struct agreed *x)
{
    return x->mass_mg > x->come_mg ? x->mass_mg - x->come_mg : 0;
}

int64_t agreed_left_pieces(const struct agreed *x)
{
    return x->piece_mg > 0 ? (agreed_left_mg(x) + x->piece_mg - 1) / x->piece_mg : 0;
}

bool agreed_late(const struct agreed *x, int32_t today)
{
    return x->day < today && x->come_mg == 0;
}

struct result agreed_awaited(struct store *s, struct arena *a, int32_t today, struct agreed **out,
                             size_t *out_count)
{
    struct listed *list;
    size_t count;
    *out_count = 0;
    TRY(listed_all(s, a, kind, &list, &count));
    *out = ARENA_ARRAY(a, struct agreed, count + 1);
    struct result r = RESULT_OK;
    for (size_t i = 0; i < count && r.code == CODE_OK; i++) {
        r = read_one(a, &list[i], &(*out)[i]);
    }
    listed_free(list, count);
    TRY(r);
    TRY(read_come(s, *out, count));
    for (size_t i = 0; i < count; i++) {
        const struct agreed *x = &(*out)[i];
        if (agreed_left_mg(x) > 0 && (x->day >= today || agreed_late(x, today))) {
            (*out)[(*out_count)++] = *x;
        }
    }
    return RESULT_OK;
}
