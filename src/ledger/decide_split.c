/* A lot becomes two, several become one. Each time a new lot is made, so that no lot is ever among
 * its own ancestors. */
#include <string.h>

#include "ledger/goods.h"
#include "ledger/markets.h"

struct result decide_split(struct draft *d)
{
    static const char *const names[] = {"lot",        "units", "pieces", "mass",    "how",
                                        "instrument", "gross", "tare",   "lot_out", NULL};
    struct goods *goods;
    size_t count;
    int64_t at_ms = d->cmd->happened_ms;
    TRY(draft_only(d, "a split", names));
    TRY(goods_read(d, d->cmd->body, "", &goods, &count));
    struct goods *g = &goods[0], made = *g;
    if (count != 1) {
        return FAIL2(FIELD_RANGE, "units", goods[1].lot.code,
                     arena_printf(d->arena, "cases of one lot, %s", g->lot.code));
    }
    TRY(goods_may_cut(d, g, "load"));
    TRY(lot_fits(d, &g->lot, g->path));
    struct new_lot lot = {.item = g->lot.item,
                          .kind = g->lot.kind,
                          .place = g->lot.place,
                          .born_ms = at_ms,
                          .day = d->cmd->day,
                          .supplier = g->lot.supplier,
                          .supplier_code = g->lot.supplier_code,
                          .supplier_lot = g->lot.supplier_lot,
                          .best_before = g->lot.best_before,
                          .markets = g->lot.markets};
    TRY(json_get_text(d->cmd->body, "lot_out", "lot_out", JSON_OPTIONAL, &lot.code));
    TRY(draft_lot(d, &lot, &made.lot.id, &made.lot.code));
    TRY(goods_take(d, g));
    TRY(goods_put(d, &made));
    TRY(draft_edge(d, g->lot.id, made.lot.id, g->mass.value, "measured"));
    TRY(goods_units_into(d, g, made.lot.id));
    int64_t step = draft_step(d, g->lot.place, 0, at_ms, at_ms, made.lot.id, "");
    draft_step_lot(d, step, g->lot.id, "in", g->mass.value, at_ms, at_ms);
    draft_step_lot(d, step, made.lot.id, "out", g->mass.value, at_ms, at_ms);
    goods_answer(d, &made);
    return lot_close_when_empty(d, &g->lot);
}

/* One item and one kind; the earliest date and the markets that all may go to. */
static struct result joined_lot(struct draft *d, const struct goods *goods, size_t count,
                                struct new_lot *out)
{
    const struct lot *first = &goods[0].lot;
    *out = (struct new_lot){.item = first->item,
                            .kind = first->kind,
                            .place = first->place,
                            .born_ms = d->cmd->happened_ms,
                            .day = d->cmd->day,
                            .best_before = first->best_before,
                            .markets = first->markets};
    for (size_t i = 0; i < count; i++) {
        const struct lot *lot = &goods[i].lot;
        TRY(goods_may_cut(d, &goods[i], ""));
        if (strcmp(lot->item, first->item) != 0) {
            return FAIL2(FIELD_CHOICE, goods[i].path, lot->code, first->item);
        }
        if (strcmp(lot->kind, first->kind) != 0) {
            return FAIL3(LOT_KIND, goods[i].path, lot->code, lot->kind, first->kind);
        }
        TRY(goods_may_cut(d, &goods[i], "seed,load"));
        if (lot->best_before != 0 &&
            (out->best_before == 0 || lot->best_before < out->best_before)) {
            out->best_before = lot->best_before;
        }
        out->markets = markets_common(d->arena, out->markets, lot->markets);
    }
    return json_get_text(d->cmd->body, "lot_out", "lot_out", JSON_OPTIONAL, &out->code);
}

struct result decide_join(struct draft *d)
{
    static const char *const names[] = {"inputs", "lot_out", NULL};
    struct goods *goods, made = {0};
    size_t count;
    struct input *inputs;
    struct new_lot lot;
    TRY(draft_only(d, "a joining of lots", names));
    TRY(goods_read_inputs(d, &goods, &count));
    if (count < 2) {
        return FAIL2(FIELD_RANGE, "inputs", "one lot", "two lots or more");
    }
    TRY(joined_lot(d, goods, count, &lot));
    TRY(goods_as_inputs(d, goods, count, "", &inputs));
    TRY(draft_lot(d, &lot, &made.lot.id, &made.lot.code));
    made.mass = (struct amount){.unit = UNIT_MG, .how = goods[0].mass.how};
    for (size_t i = 0; i < count; i++) {
        TRY(goods_take(d, &goods[i]));
        TRY(goods_units_into(d, &goods[i], made.lot.id));
        made.pieces += goods[i].pieces;
        made.mass.value += goods[i].mass.value;
        made.mass.how = goods[i].mass.how == made.mass.how ? made.mass.how : HOW_STANDARD;
    }
    return goods_made(d, goods, count, inputs, lot.place, &made);
}
