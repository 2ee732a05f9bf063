/* A unit, and what a scanned code is. */
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "ledger/sample.h"
#include "paper/gs1.h"
#include "service/story.h"
#include "service/view_inner.h"
#include "service/view_lots.h"

static struct result put_shipment(struct view *v, int64_t shipment, json_t *o)
{
    struct statement *q = store_prepare(v->store, Q_PAGE_SHIPMENT);
    store_bind_int(q, 1, shipment);
    bool row;
    TRY(store_step(q, &row));
    view_put(o, "shipment", view_text(row ? store_text(q, 0) : NULL));
    view_put(o, "customer", view_text(row ? store_text(q, 1) : NULL));
    return told_finish(q, row);
}

static struct result fill(struct view *v, const struct unit *u, json_t *o)
{
    struct lot lot = {0};
    bool found = false;
    json_t *holds;
    if (u->lot != 0) {
        TRY(lot_by_id(v->store, v->arena, u->lot, &lot, &found));
    }
    view_put(o, "lot", view_text(found ? lot.code : NULL));
    TRY(put_shipment(v, u->shipment, o));
    TRY(view_holds_on(v, u->lot, u->id, &holds));
    view_put(o, "holds", holds);
    return RESULT_OK;
}

struct result view_unit(struct view *v, const char *code, json_t **out)
{
    struct unit u;
    bool found;
    TRY(unit_by_code(v->store, v->arena, code, &u, &found));
    if (!found) {
        return FAIL1(UNIT_UNKNOWN, "unit", code);
    }
    json_t *o = json_pack("{s:s,s:s,s:I,s:I,s:o,s:s}", "code", u.code, "kind", u.kind, "pieces",
                          (json_int_t)u.pieces, "mg", (json_int_t)u.mg, "place", view_text(u.place),
                          "state", u.state);
    CHECK(o != NULL);
    struct result r = fill(v, &u, o);
    return view_hand_over(r, o, out);
}

static struct result is_shipment(struct view *v, const char *code, bool *out)
{
    struct statement *q = store_prepare(v->store, Q_PAGE_SHIPMENT_BY_CODE);
    store_bind_text(q, 1, code);
    int64_t id;
    TRY(view_first(q, 0, &id));
    *out = id != 0;
    return RESULT_OK;
}

static struct result is_person(struct view *v, const char *code, bool *out)
{
    const char *role;
    char *end;
    bool active;
    *out = false;
    if (strncmp(code, "P-", 2) != 0 || code[2] == '\0') {
        return RESULT_OK;
    }
    int64_t number = strtoll(code + 2, &end, 10);
    return *end == '\0' ? person_role(v->store, v->arena, number, &role, &active, out) : RESULT_OK;
}

/* NULL: none of the house's codes. */
static struct result kind_of(struct view *v, const char *code, const char **out)
{
    struct lot lot;
    struct unit unit;
    struct place place;
    struct sample sample;
    bool found;
    *out = "lot";
    TRY(lot_by_code(v->store, v->arena, code, &lot, &found));
    if (!found) {
        *out = "unit";
        TRY(unit_by_code(v->store, v->arena, code, &unit, &found));
    }
    if (!found) {
        *out = "place";
        TRY(place_by_code(v->store, v->arena, code, &place, &found));
    }
    if (!found) {
        *out = "sample";
        TRY(sample_by_code(v->store, v->arena, code, &sample, &found));
    }
    if (!found) {
        *out = "person";
        TRY(is_person(v, code, &found));
    }
    if (!found) {
        *out = "shipment";
        TRY(is_shipment(v, code, &found));
    }
    *out = found ? *out : NULL;
    return RESULT_OK;
}

/* The narrowest thing that an element string names. */
static struct result read_elements(struct view *v, const char *scan, const char **out_kind,
                                   const char **out_code)
{
    enum { FIELDS_MAX = 12 };
    static const char *const narrowest[] = {"21", "00", "10"};
    struct gs1_element fields[FIELDS_MAX];
    size_t count;
    if (!gs1_string_read(v->arena, scan, fields, FIELDS_MAX, &count)) {
        return RESULT_OK;
    }
    for (size_t n = 0; n < sizeof narrowest / sizeof narrowest[0]; n++) {
        for (size_t i = 0; i < count && *out_kind == NULL; i++) {
            if (strcmp(fields[i].ai, narrowest[n]) == 0) {
                *out_code = fields[i].value;
                TRY(kind_of(v, *out_code, out_kind));
            }
        }
    }
    return RESULT_OK;
}

struct result view_find(struct view *v, const char *code, json_t **out)
{
    const char *kind, *found = code;
    TRY(kind_of(v, code, &kind));
    if (kind == NULL) {
        TRY(read_elements(v, code, &kind, &found));
    }
    *out = json_pack("{s:o,s:s}", "kind", view_text(kind), "code", kind != NULL ? found : code);
    CHECK(*out != NULL);
    return RESULT_OK;
}
