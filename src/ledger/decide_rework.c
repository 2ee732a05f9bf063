/* Goods are worked again: packs are opened, and what they hold goes back to an earlier step. */
#include <string.h>

#include "ledger/goods.h"
#include "ledger/markets.h"

/* What packs hold is the item that they were packed from. */
static struct result item_inside(struct draft *d, const struct lot *lot, const char **out)
{
    struct item item;
    bool found;
    TRY(item_by_code(d->store, d->arena, lot->item, &item, &found));
    *out = found && item.source_item != NULL ? item.source_item : lot->item;
    return RESULT_OK;
}

static struct result check_item(struct draft *d, const struct goods *goods, size_t count,
                                const char *item)
{
    struct item known;
    bool found;
    TRY(item_by_code(d->store, d->arena, item, &known, &found));
    if (!found) {
        return FAIL1(ITEM_UNKNOWN, "item", item);
    }
    for (size_t i = 0; i < count; i++) {
        const char *inside;
        TRY(goods_may_cut(d, &goods[i], "seed,load"));
        TRY(item_inside(d, &goods[i].lot, &inside));
        if (strcmp(inside, item) != 0) {
            return FAIL2(FIELD_CHOICE, goods[i].path, goods[i].lot.code, item);
        }
    }
    return RESULT_OK;
}

/* Pieces are undone and go back to where packing took them from; their cases are used up. */
static struct result undo_packs(struct draft *d, const struct goods *g)
{
    TRY(goods_take(d, g));
    struct amount pieces = {.unit = UNIT_PIECES, .value = g->pieces, .how = HOW_COUNTED};
    draft_move_account(d, "made", 1, &pieces);
    goods_set_units(d, g, "destroyed", NULL, 0);
    return RESULT_OK;
}

struct result decide_rework(struct draft *d)
{
    static const char *const names[] = {"inputs", "item", "lot_out", "place", NULL};
    struct goods *goods, made = {0};
    size_t count;
    struct input *inputs;
    struct place place;
    const char *item = NULL;
    TRY(draft_only(d, "a rework", names));
    TRY(goods_read_inputs(d, &goods, &count));
    TRY(place_named(d, "place", JSON_OPTIONAL, &place));
    TRY(json_get_text(d->cmd->body, "item", "item", JSON_NEEDED, &item));
    TRY(check_item(d, goods, count, item));
    TRY(goods_as_inputs(d, goods, count, "use", &inputs));
    struct new_lot lot = {.item = item,
                          .kind = "reworked",
                          .place = place.code != NULL ? place.code : goods[0].lot.place,
                          .born_ms = d->cmd->happened_ms,
                          .day = d->cmd->day,
                          .markets = goods[0].lot.markets};
    TRY(json_get_text(d->cmd->body, "lot_out", "lot_out", JSON_OPTIONAL, &lot.code));
    for (size_t i = 1; i < count; i++) {
        lot.markets = markets_common(d->arena, lot.markets, goods[i].lot.markets);
    }
    TRY(draft_lot(d, &lot, &made.lot.id, &made.lot.code));
    made.mass = (struct amount){.unit = UNIT_MG, .how = HOW_STANDARD};
    for (size_t i = 0; i < count; i++) {
        TRY(undo_packs(d, &goods[i]));
        made.mass.value += goods[i].mass.value;
    }
    return goods_made(d, goods, count, inputs, place.code, &made);
}
