/* Soaking and other steps that move no mass, and starting a chamber. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/inputs.h"
#include "ledger/kin.h"
#include "ledger/watering.h"

/* The array "lots" or the one text "lot". */
static struct result lots_named(struct draft *d, struct lot **out, size_t *out_count)
{
    json_t *list = NULL;
    TRY(json_get_array(d->cmd->body, "lots", "lots", JSON_OPTIONAL, &list));
    *out_count = list != NULL ? json_array_size(list) : 1;
    if (*out_count == 0 || *out_count > INPUTS_MAX) {
        return FAIL2(FIELD_RANGE, "lots", "another number of lots", "1 to 200 lots");
    }
    *out = ARENA_ARRAY(d->arena, struct lot, *out_count);
    if (list == NULL) {
        return lot_named(d, d->cmd->body, "lot", "lot", *out);
    }
    for (size_t i = 0; i < *out_count; i++) {
        const char *path = arena_printf(d->arena, "lots[%zu]", i);
        const char *code = json_string_value(json_array_get(list, i));
        bool found = false;
        if (code != NULL) {
            TRY(lot_by_code(d->store, d->arena, code, &(*out)[i], &found));
        }
        if (!found) {
            return FAIL1(LOT_UNKNOWN, path, code != NULL ? code : "");
        }
    }
    return RESULT_OK;
}

/* Seed that is wetted is treated first. */
static struct result load_treated(struct draft *d, const struct lot *lot, const char *path)
{
    const char *field = arena_printf(d->arena, "%s%slot", path, path[0] != '\0' ? "." : "");
    struct id_set ids = id_set_new(d->arena);
    struct statement *q = store_prepare(d->store, Q_UNTREATED_LOADS);
    store_bind_int(q, 1, lot->id);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        id_set_add(&ids, store_int(q, 0));
    }
    for (size_t i = 0; i < ids.count && strcmp(lot->kind, "load") == 0; i++) {
        struct lot load;
        bool found;
        TRY(lot_by_id(d->store, d->arena, ids.id[i], &load, &found));
        TRY(draft_break(d, "not-treated", lot->id, NULL, 0, 0,
                        FAIL1(NOT_TREATED, field, found ? load.code : lot->code)));
    }
    return RESULT_OK;
}

static struct result lots_apart(const struct lot *lots, size_t count)
{
    for (size_t i = 1; i < count; i++) {
        for (size_t k = 0; k < i; k++) {
            if (lots[i].id == lots[k].id) {
                return FAIL2(FIELD_RANGE, "lots", lots[i].code, "named once only");
            }
        }
    }
    return RESULT_OK;
}

struct result decide_pass(struct draft *d)
{
    static const char *const names[] = {"lot", "lots", "place", "start", "end", "water", NULL};
    struct place place;
    struct lot *lots;
    size_t count;
    int64_t start_ms, end_ms;
    const char *water;
    TRY(draft_only(d, "this step", names));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(watering_source(d, "water", JSON_OPTIONAL, &water));
    TRY(draft_read_span(d, &start_ms, &end_ms));
    TRY(lots_named(d, &lots, &count));
    TRY(lots_apart(lots, count));
    int64_t step = draft_step(d, place.code, 0, start_ms, end_ms, lots[0].id, "");
    for (size_t i = 0; i < count; i++) {
        struct input in;
        const char *path = count > 1 ? arena_printf(d->arena, "lots[%zu]", i) : "";
        TRY(input_of_lot(d, &lots[i], path, start_ms, end_ms, &in));
        if (d->cmd->step->wets) {
            TRY(load_treated(d, &lots[i], path));
        }
        draft_step_lot(d, step, lots[i].id, "in", in.amount.value, start_ms, end_ms);
        draft_step_lot(d, step, lots[i].id, "out", in.amount.value, start_ms, end_ms);
        watering_add(d, i, place.code, lots[i].id, water, start_ms, end_ms);
        if (lots[i].place == NULL || strcmp(lots[i].place, place.code) != 0) {
            draft_add(d, EFFECT_LOT_PLACE, "itt", lots[i].id, place.code, lots[i].place);
        }
    }
    return RESULT_OK;
}

static struct result seed_approved(struct draft *d, const struct input *in, int64_t seed)
{
    struct lot lot;
    bool row, found;
    TRY(lot_by_id(d->store, d->arena, seed, &lot, &found));
    struct statement *q = store_prepare(d->store, Q_SEED_STANDING);
    store_bind_int(q, 1, seed);
    TRY(store_step(q, &row));
    bool approved = row && store_int(q, 0) != 0;
    const char *state = row && store_text(q, 1) != NULL ? arena_copy(d->arena, store_text(q, 1))
                                                        : "without any state";
    while (row) {
        TRY(store_step(q, &row));
    }
    if (approved) {
        return RESULT_OK;
    }
    const char *field = arena_printf(d->arena, "%s.lot", in->path);
    return draft_break(d, "seed-not-approved", in->lot.id, NULL, 0, 0,
                       FAIL2(SEED_NOT_APPROVED, field, found ? lot.code : "?", state));
}

/* Every seed lot in the loads must stand approved when its seed is started; each is asked about
 * once. */
static struct result seeds_approved(struct draft *d, const struct input *inputs, size_t count)
{
    struct id_set seeds = id_set_new(d->arena);
    for (size_t i = 0; i < count; i++) {
        size_t before = seeds.count;
        struct statement *q = store_prepare(d->store, Q_SEED_OF_LOT);
        store_bind_int(q, 1, inputs[i].lot.id);
        for (;;) {
            bool row;
            TRY(store_step(q, &row));
            if (!row) {
                break;
            }
            id_set_add(&seeds, store_int(q, 0));
        }
        for (size_t k = before; k < seeds.count; k++) {
            TRY(seed_approved(d, &inputs[i], seeds.id[k]));
        }
    }
    return RESULT_OK;
}

static struct result chamber_ready(struct draft *d, const struct place *chamber, int64_t start_ms)
{
    struct statement *q = store_prepare(d->store, Q_CHAMBER_TAKEN);
    store_bind_text(q, 1, chamber->code);
    bool row;
    TRY(store_step(q, &row));
    const char *other = row ? arena_copy(d->arena, store_text(q, 1)) : NULL;
    while (row) {
        TRY(store_step(q, &row));
    }
    if (other != NULL) {
        TRY(draft_break(d, "chamber-taken", 0, chamber->code, 0, 0,
                        FAIL2(CHAMBER_TAKEN, "chamber", chamber->code, other)));
    }
    q = store_prepare(d->store, Q_CHAMBER_CLEAN_SINCE);
    store_bind_text(q, 1, chamber->code);
    store_bind_int(q, 2, start_ms);
    TRY(store_step(q, &row));
    bool clean = store_int(q, 0) > 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    if (!clean) {
        TRY(draft_break(d, "not-clean", 0, chamber->code, 0, 0,
                        FAIL1(NOT_CLEAN, "chamber", chamber->code)));
    }
    return RESULT_OK;
}

static struct result seed_amount(struct draft *d, const struct crop *crop, int64_t total_mg)
{
    if (total_mg >= crop->chamber_seed_low_mg && total_mg <= crop->chamber_seed_high_mg) {
        return RESULT_OK;
    }
    const char *range =
        arena_printf(d->arena, "%s to %s", mass_text(d->arena, crop->chamber_seed_low_mg, 0),
                     mass_text(d->arena, crop->chamber_seed_high_mg, 0));
    return draft_break(
        d, "seed-amount", 0, NULL, 0, 0,
        FAIL3(SEED_AMOUNT, "inputs", mass_text(d->arena, total_mg, 0), crop->item, range));
}

static struct result check_items(struct draft *d, const struct crop *crop,
                                 const struct input *inputs, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (!list_has(crop->seed_items, inputs[i].lot.item)) {
            return FAIL2(FIELD_CHOICE, arena_printf(d->arena, "inputs[%zu].lot", i),
                         inputs[i].lot.code,
                         arena_printf(d->arena, "loads of %s", crop->seed_items));
        }
        TRY(load_treated(d, &inputs[i].lot, inputs[i].path));
    }
    return seeds_approved(d, inputs, count);
}

struct result decide_grow(struct draft *d)
{
    static const char *const names[] = {"chamber", "item", "inputs", "lot", "first_wet", NULL};
    const json_t *o = d->cmd->body;
    const char *item = NULL, *code = NULL, *wet = NULL, *made;
    struct place chamber;
    struct input *inputs;
    size_t count;
    int64_t at_ms = d->cmd->happened_ms, id, wet_ms = at_ms;
    TRY(draft_only(d, "the start of a chamber", names));
    TRY(place_named(d, "chamber", JSON_NEEDED, &chamber));
    TRY(json_get_text(o, "item", "item", JSON_NEEDED, &item));
    TRY(json_get_text(o, "lot", "lot", JSON_OPTIONAL, &code));
    TRY(json_get_text(o, "first_wet", "first_wet", JSON_OPTIONAL, &wet));
    if (wet != NULL) {
        TRY(civil_read(wet, "first_wet", &wet_ms));
        if (wet_ms > at_ms) {
            return FAIL2(TIME_FUTURE, "first_wet", wet, civil_short(d->arena, at_ms));
        }
    }
    const struct crop *crop = profile_crop(d->profile, item);
    if (crop == NULL) {
        return FAIL1(ITEM_UNKNOWN, "item", item);
    }
    TRY(inputs_read(d, at_ms, at_ms, &inputs, &count));
    TRY(check_items(d, crop, inputs, count));
    TRY(chamber_ready(d, &chamber, at_ms));
    int64_t total = inputs_total(inputs, count);
    TRY(seed_amount(d, crop, total));
    struct new_lot lot = {.code = code,
                          .item = item,
                          .kind = "growing",
                          .place = chamber.code,
                          .born_ms = at_ms,
                          .day = d->cmd->day,
                          .markets = inputs[0].lot.markets};
    TRY(draft_lot(d, &lot, &id, &made));
    TRY(inputs_take(d, inputs, count));
    struct amount seed = {.unit = UNIT_MG, .value = total, .how = HOW_STANDARD};
    TRY(draft_move_lot(d, id, made, 1, &seed));
    struct output out = {
        .lot = id, .lot_code = made, .amount = seed, .from_ms = at_ms, .to_ms = at_ms};
    struct run none = {0};
    TRY(edges_to_output(d, inputs, count, &none, &out));
    int64_t step = draft_step(d, chamber.code, 0, at_ms, at_ms, id, "");
    for (size_t i = 0; i < count; i++) {
        draft_step_lot(d, step, inputs[i].lot.id, "in", inputs[i].amount.value, at_ms, at_ms);
    }
    draft_step_lot(d, step, id, "out", total, at_ms, at_ms);
    draft_add(d, EFFECT_CHAMBER_USE, "ittiiin", id, chamber.code, item, wet_ms, total, (int64_t)0);
    /* waiting for the laboratory is an ordinary hold, not an alarm: the batch is born with it */
    int64_t hold;
    const char *hold_code =
        draft_hold(d, "laboratory", "release,load", "sampled,negative",
                   "every batch waits for its laboratory results", 0, 0, 0, &hold);
    draft_hold_on(d, hold, id, 0, "batch");
    json_object_set_new(d->answer, "lot", json_string(made));
    json_object_set_new(d->answer, "hold", json_string(hold_code));
    return RESULT_OK;
}
