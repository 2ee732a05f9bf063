/* Weighing and packing: a packed lot has pieces and the mass packed; declared, mean net and
 * giveaway each stand on their own line. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/inputs.h"
#include "ledger/markets.h"

/* A pack of a tonne is none. */
#define PACK_MAX_MG INT64_C(1000000000)

struct pack {
    struct item item;
    int64_t pieces, mean_net_mg, cases, best_before;
    const char *markets;
};

static struct result read_pack(struct draft *d, struct pack *out)
{
    const json_t *o = d->cmd->body;
    const char *item = NULL, *mean = NULL, *best_before = NULL;
    bool found;
    TRY(json_get_text(o, "item", "item", JSON_NEEDED, &item));
    TRY(item_by_code(d->store, d->arena, item, &out->item, &found));
    if (!found || strcmp(out->item.kind, "packed") != 0) {
        return FAIL1(ITEM_UNKNOWN, "item", item);
    }
    TRY(json_get_int(o, "pieces", "pieces", JSON_NEEDED, 1, 1000000, &out->pieces));
    TRY(json_get_text(o, "mean_net", "mean_net", JSON_NEEDED, &mean));
    TRY(mass_read(mean, "mean_net", &out->mean_net_mg));
    if (out->mean_net_mg <= 0 || out->mean_net_mg > PACK_MAX_MG) {
        return FAIL2(FIELD_RANGE, "mean_net", mean, "more than nothing, up to 1 t");
    }
    TRY(json_get_int(o, "cases", "cases", JSON_OPTIONAL, 0, 2000, &out->cases));
    int32_t day = d->cmd->day + (int32_t)out->item.life_days, longest = day;
    TRY(json_get_text(o, "best_before", "best_before", JSON_OPTIONAL, &best_before));
    if (best_before != NULL) {
        TRY(day_read(best_before, "best_before", &day));
        if (day < d->cmd->day) {
            return FAIL2(FIELD_RANGE, "best_before", best_before, "the day of packing or later");
        }
    }
    if (day > longest) {
        TRY(draft_break(d, "best-before-late", 0, NULL, 0, 0,
                        FAIL3(BEST_BEFORE_LATE, "best_before", best_before,
                              arena_printf(d->arena, "%lld", (long long)out->item.life_days),
                              out->item.code)));
    }
    out->best_before = day;
    /* cases that the pieces fill, the last perhaps in part: a piece that is in no case could never
     * be named again */
    int64_t filled = (out->pieces + out->item.pieces_per_case - 1) / out->item.pieces_per_case;
    if (out->cases > 0 && out->cases != filled) {
        return FAIL2(FIELD_RANGE, "cases", arena_printf(d->arena, "%lld", (long long)out->cases),
                     arena_printf(d->arena, "%lld for %lld pieces, or none", (long long)filled,
                                  (long long)out->pieces));
    }
    return markets_read(d, JSON_NEEDED, &out->markets);
}

/* Cases are numbered within their lot; the last may be short. */
static void make_cases(struct draft *d, const struct pack *pack, const struct place *place,
                       const struct output *out)
{
    int64_t left = pack->pieces;
    for (int64_t n = 1; n <= pack->cases; n++) {
        int64_t in_case = left < pack->item.pieces_per_case ? left : pack->item.pieces_per_case;
        const char *code = arena_printf(d->arena, "%s-%04lld", out->lot_code, (long long)n);
        draft_add(d, EFFECT_UNIT, "ittniiittni", draft_id(d), code, "case", out->lot, in_case,
                  in_case * pack->mean_net_mg, place->code, "here", out->to_ms);
        left -= in_case;
    }
}

static struct result make_packed(struct draft *d, const struct pack *pack,
                                 const struct place *place, const struct run *run,
                                 const struct input *inputs, size_t count, struct output *out)
{
    struct new_lot lot = {.item = pack->item.code,
                          .kind = "packed",
                          .place = place->code,
                          .born_ms = out->from_ms,
                          .day = d->cmd->day,
                          .best_before = (int32_t)pack->best_before,
                          .markets = pack->markets};
    TRY(json_get_text(d->cmd->body, "lot", "lot", JSON_OPTIONAL, &lot.code));
    TRY(draft_lot(d, &lot, &out->lot, &out->lot_code));
    TRY(draft_move_lot(d, out->lot, out->lot_code, 1, &out->amount));
    struct amount pieces = {.unit = UNIT_PIECES, .value = pack->pieces, .how = HOW_COUNTED};
    draft_move_account(d, "made", -1, &pieces);
    TRY(draft_move_lot(d, out->lot, out->lot_code, 1, &pieces));
    TRY(edges_to_output(d, inputs, count, run, out));
    TRY(window_holds(d, run, out));
    int64_t giveaway = (pack->mean_net_mg - pack->item.net_mg) * pack->pieces;
    draft_add(d, EFFECT_PACKED, "iiiii", out->lot, pack->pieces, pack->item.net_mg,
              pack->mean_net_mg, giveaway);
    make_cases(d, pack, place, out);
    json_object_set_new(d->answer, "lot", json_string(out->lot_code));
    json_object_set_new(d->answer, "pieces", json_integer(pack->pieces));
    json_object_set_new(d->answer, "mass", json_string(mass_text(d->arena, out->amount.value, 0)));
    json_object_set_new(d->answer, "giveaway", json_string(mass_text(d->arena, giveaway, 0)));
    json_object_set_new(d->answer, "best_before",
                        json_string(day_text(d->arena, (int32_t)pack->best_before)));
    return RESULT_OK;
}

/* Another crop that the recipe of the packed item names. */
static bool is_with(const struct profile *p, const struct pack *pack, const char *item)
{
    for (size_t i = 0; i < p->planning.recipe_count; i++) {
        const struct pack_recipe *r = &p->planning.recipes[i];
        for (size_t k = 0; k < r->with_count && strcmp(r->item, pack->item.code) == 0; k++) {
            if (strcmp(r->with[k].item, item) == 0 || strcmp(r->crop, item) == 0) {
                return true;
            }
        }
    }
    return false;
}

/* Of the item it is named after, at least in part: a dish takes ingredients beside it, and what
 * else of crops its recipe names. */
static struct result check_source(struct draft *d, const struct pack *pack,
                                  const struct input *inputs, size_t count)
{
    size_t own = 0, first = 0;
    for (size_t i = 0; i < count; i++) {
        bool is_own = strcmp(inputs[i].lot.item, pack->item.source_item) == 0;
        own += is_own ? 1 : 0;
        if (!is_own && strcmp(inputs[i].lot.kind, "ingredient") != 0 &&
            !is_with(d->profile, pack, inputs[i].lot.item)) {
            first = i;
            own = 0;
            break;
        }
    }
    return own > 0 ? RESULT_OK
                   : FAIL2(FIELD_CHOICE, arena_printf(d->arena, "inputs[%zu].lot", first),
                           inputs[first].lot.code, pack->item.source_item);
}

/* When the packs came off the line: from and to, else the span of the step. */
static struct result read_window(struct draft *d, int64_t start_ms, int64_t end_ms,
                                 struct output *out)
{
    out->from_ms = start_ms;
    out->to_ms = end_ms;
    TRY(read_moment(d, d->cmd->body, "", "from", &out->from_ms));
    TRY(read_moment(d, d->cmd->body, "", "to", &out->to_ms));
    return out->to_ms >= out->from_ms
               ? RESULT_OK
               : FAIL2(END_BEFORE_START, "to", civil_short(d->arena, out->from_ms),
                       civil_short(d->arena, out->to_ms));
}

struct result decide_pack(struct draft *d)
{
    static const char *const names[] = {"inputs", "item", "pieces",      "mean_net", "cases",
                                        "place",  "run",  "start",       "end",      "from",
                                        "to",     "lot",  "best_before", "markets",  NULL};
    struct place place;
    struct run run;
    struct input *inputs;
    size_t count;
    int64_t start_ms, end_ms;
    struct pack pack = {0};
    struct output out = {0};
    bool known = true;
    TRY(draft_only(d, "packing", names));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(draft_read_span(d, &start_ms, &end_ms));
    TRY(read_window(d, start_ms, end_ms, &out));
    TRY(run_of_step(d, &place, start_ms, end_ms, &run));
    TRY(read_pack(d, &pack));
    TRY(inputs_read(d, start_ms, end_ms, &inputs, &count));
    TRY(check_source(d, &pack, inputs, count));
    out.amount = (struct amount){
        .unit = UNIT_MG, .value = pack.pieces * pack.mean_net_mg, .how = HOW_COUNTED};
    TRY(inputs_take(d, inputs, count));
    int64_t step = draft_step(d, place.code, run.id, start_ms, end_ms, 0, "");
    for (size_t i = 0; i < count; i++) {
        known =
            known && (inputs[i].amount.how == HOW_WEIGHED || inputs[i].amount.how == HOW_COUNTED);
        draft_step_lot(d, step, inputs[i].lot.id, "in", inputs[i].amount.value, inputs[i].from_ms,
                       inputs[i].to_ms);
    }
    TRY(make_packed(d, &pack, &place, &run, inputs, count, &out));
    draft_step_lot(d, step, out.lot, "out", out.amount.value, out.from_ms, out.to_ms);
    TRY(edges_to_earlier(d, inputs, count, &run));
    return step_residual(d, inputs, count, out.amount.value, known);
}
