/* Goods on their way from lots into a new lot: split, join, rework. */
#include <string.h>

#include "base/decimal.h"
#include "ledger/goods.h"

/* Seed is tested and approved delivery by delivery, a load is treated as one filling: neither is
 * joined, and a load is not split. */
struct result goods_may_cut(struct draft *d, const struct goods *g, const char *apart)
{
    if (list_has("growing,supplier", g->lot.kind)) {
        return FAIL3(LOT_KIND, g->path, g->lot.code, g->lot.kind, "all but growing and supplier");
    }
    if (list_has(apart, g->lot.kind)) {
        return draft_break(d, "wrong-kind", g->lot.id, NULL, 0, 0,
                           FAIL3(LOT_KIND, g->path, g->lot.code, g->lot.kind,
                                 arena_printf(d->arena, "all but %s", apart)));
    }
    return RESULT_OK;
}

/* A case that is held by its number stays held in its new lot. */
static struct result keep_unit_holds(struct draft *d, int64_t unit, int64_t lot)
{
    struct statement *q = store_prepare(d->store, Q_HOLDS_ON_UNIT);
    store_bind_int(q, 1, unit);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        draft_hold_on(d, store_int(q, 3), lot, unit, "case");
    }
}

struct result goods_units_into(struct draft *d, const struct goods *g, int64_t lot)
{
    for (size_t i = 0; i < g->unit_count; i++) {
        const struct unit *u = &g->units[i];
        draft_add(d, EFFECT_UNIT_CONTENT, "iiiiiii", u->id, lot, u->pieces, u->mg, u->lot,
                  u->pieces, u->mg);
        TRY(keep_unit_holds(d, u->id, lot));
    }
    return RESULT_OK;
}

void goods_answer(struct draft *d, const struct goods *made)
{
    json_object_set_new(d->answer, "lot", json_string(made->lot.code));
    json_object_set_new(d->answer, "pieces", json_integer(made->pieces));
    json_object_set_new(d->answer, "mass", json_string(mass_text(d->arena, made->mass.value, 0)));
}

/* The array "inputs", each naming a lot with pieces or a mass, or cases; a lot once. */
struct result goods_read_inputs(struct draft *d, struct goods **out, size_t *out_count)
{
    static const char *const names[] = {"lot",        "units", "pieces", "mass", "how",
                                        "instrument", "gross", "tare",   NULL};
    json_t *list = NULL;
    TRY(json_get_array(d->cmd->body, "inputs", "inputs", JSON_NEEDED, &list));
    size_t count = json_array_size(list);
    if (count == 0 || count > GOODS_LOTS_MAX) {
        return FAIL2(FIELD_RANGE, "inputs", count == 0 ? "empty" : "too long", "1 to 200 lots");
    }
    *out = ARENA_ARRAY(d->arena, struct goods, GOODS_LOTS_MAX + 1);
    *out_count = 0;
    for (size_t i = 0; i < count; i++) {
        const json_t *o = json_array_get(list, i);
        const char *path = arena_printf(d->arena, "inputs[%zu]", i);
        struct goods *some;
        size_t some_count;
        if (!json_is_object(o)) {
            return FAIL2(FIELD_TYPE, path, "an object", "something else");
        }
        TRY(json_only(o, path, "an input", names));
        TRY(goods_read(d, o, path, &some, &some_count));
        for (size_t k = 0; k < some_count; k++) {
            for (size_t n = 0; n < *out_count; n++) {
                if ((*out)[n].lot.id == some[k].lot.id) {
                    return FAIL2(FIELD_RANGE, path, some[k].lot.code, "named once only");
                }
            }
            if (*out_count == GOODS_LOTS_MAX) {
                return FAIL2(FIELD_RANGE, "inputs", "too long", "1 to 200 lots");
            }
            (*out)[(*out_count)++] = some[k];
        }
    }
    return RESULT_OK;
}

/* As inputs of one moment, with the rules of each lot and of mixing checked. */
struct result goods_as_inputs(struct draft *d, const struct goods *goods, size_t count,
                              const char *stops, struct input **out)
{
    int64_t at_ms = d->cmd->happened_ms;
    *out = ARENA_ARRAY(d->arena, struct input, count);
    for (size_t i = 0; i < count; i++) {
        const struct goods *g = &goods[i];
        TRY(lot_fits(d, &g->lot, g->path));
        TRY(lot_not_held(d, &g->lot, g->path, stops, "held-used"));
        (*out)[i] = (struct input){.lot = g->lot,
                                   .amount = g->mass,
                                   .from_ms = at_ms,
                                   .to_ms = at_ms,
                                   .all = g->whole,
                                   .path = g->path};
    }
    return inputs_not_mixed(d, *out, count);
}

static void add_step(struct draft *d, const struct goods *goods, size_t count, const char *place,
                     const struct output *out)
{
    int64_t at_ms = d->cmd->happened_ms;
    int64_t step = draft_step(d, place, 0, at_ms, at_ms, out->lot, "");
    for (size_t i = 0; i < count; i++) {
        draft_step_lot(d, step, goods[i].lot.id, "in", goods[i].mass.value, at_ms, at_ms);
    }
    draft_step_lot(d, step, out->lot, "out", out->amount.value, at_ms, at_ms);
}

static struct result close_empty(struct draft *d, const struct goods *goods, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        TRY(lot_close_when_empty(d, &goods[i].lot));
    }
    return RESULT_OK;
}

struct result goods_made(struct draft *d, const struct goods *goods, size_t count,
                         const struct input *inputs, const char *place, const struct goods *made)
{
    struct run none = {0};
    struct output out = {.lot = made->lot.id,
                         .lot_code = made->lot.code,
                         .amount = made->mass,
                         .from_ms = d->cmd->happened_ms,
                         .to_ms = d->cmd->happened_ms};
    TRY(goods_put(d, made));
    TRY(edges_to_output(d, inputs, count, &none, &out));
    add_step(d, goods, count, place, &out);
    goods_answer(d, made);
    return close_empty(d, goods, count);
}
