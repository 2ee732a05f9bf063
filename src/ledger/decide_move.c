/* Lots and cases go to another place. That is always possible, with held goods too. */
#include <string.h>

#include "ledger/goods.h"

static struct result move_cases(struct draft *d, const struct unit *units, size_t count,
                                const struct place *place)
{
    for (size_t i = 0; i < count; i++) {
        const struct unit *u = &units[i];
        draft_add(d, EFFECT_UNIT_STATE, "ittoottoo", u->id, u->state, place->code, u->shipment,
                  u->parent, u->state, u->place, u->shipment, u->parent);
    }
    return RESULT_OK;
}

static void move_lot(struct draft *d, const struct lot *lot, const struct place *place)
{
    if (lot->place == NULL || strcmp(lot->place, place->code) != 0) {
        draft_add(d, EFFECT_LOT_PLACE, "itt", lot->id, place->code, lot->place);
    }
}

/* A lot in cases stands where the last of its cases went. */
static struct result follow_cases(struct draft *d, const struct goods *g, const struct place *place)
{
    struct unit *here;
    size_t count, away = 0;
    TRY(units_here(d, g->lot.id, &here, &count));
    for (size_t i = 0; i < count; i++) {
        bool named = false;
        for (size_t k = 0; k < g->unit_count && !named; k++) {
            named = g->units[k].id == here[i].id;
        }
        bool there = here[i].place != NULL && strcmp(here[i].place, place->code) == 0;
        away += !named && !there;
    }
    if (away == 0) {
        move_lot(d, &g->lot, place);
    }
    return RESULT_OK;
}

static struct result move_one(struct draft *d, const struct goods *g, const struct place *place,
                              int64_t step)
{
    int64_t at_ms = d->cmd->happened_ms;
    TRY(lot_fits(d, &g->lot, g->path));
    if (list_has("growing,supplier", g->lot.kind)) { /* it stands in its chamber until harvested */
        return FAIL3(LOT_KIND, g->path, g->lot.code, g->lot.kind, "all but growing and supplier");
    }
    draft_step_lot(d, step, g->lot.id, "in", g->mass.value, at_ms, at_ms);
    if (g->whole) {
        move_lot(d, &g->lot, place);
        return move_cases(d, g->units, g->unit_count, place);
    }
    struct goods present = *g;
    present.unit_count = 0;
    for (size_t i = 0; i < g->unit_count;
         i++) { /* a case that has left is not moved by being named */
        if (list_has("here,returned", g->units[i].state)) {
            present.units[present.unit_count++] = g->units[i];
        }
    }
    TRY(move_cases(d, present.units, present.unit_count, place));
    return follow_cases(d, &present, place);
}

struct result decide_move(struct draft *d)
{
    static const char *const names[] = {"lot", "units", "place", NULL};
    struct place place;
    struct goods *goods;
    size_t count;
    TRY(draft_only(d, "a move", names));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(goods_read(d, d->cmd->body, "", &goods, &count));
    int64_t at_ms = d->cmd->happened_ms, lot = count == 1 ? goods[0].lot.id : 0;
    int64_t step = draft_step(d, place.code, 0, at_ms, at_ms, lot, "");
    for (size_t i = 0; i < count; i++) {
        TRY(move_one(d, &goods[i], &place, step));
    }
    json_object_set_new(d->answer, "place", json_string(place.code));
    return RESULT_OK;
}
