/* Harvest in parts and emptying. A growing lot carries its seed's mass until product comes out:
 * each harvest moves its share of the seed, takes the gain from water by difference and gives what
 * was breathed out to air. */
#include <string.h>

#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/inputs.h"

struct chamber_use {
    const char *place, *item;
    int64_t start_ms, seed_mg, shares_ppm, emptied_ms;
};

static struct result chamber_use_of(struct draft *d, const struct lot *lot, const char *field,
                                    struct chamber_use *out)
{
    struct statement *q = store_prepare(d->store, Q_CHAMBER_USE_OF);
    store_bind_int(q, 1, lot->id);
    bool row;
    TRY(store_step(q, &row));
    if (!row) {
        return FAIL3(LOT_KIND, field, lot->code, lot->kind, "growing");
    }
    *out = (struct chamber_use){.place = arena_copy(d->arena, store_text(q, 1)),
                                .item = arena_copy(d->arena, store_text(q, 2)),
                                .start_ms = store_int(q, 3),
                                .seed_mg = store_int(q, 4),
                                .shares_ppm = store_int(q, 5),
                                .emptied_ms = store_int(q, 6)};
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result batch_named(struct draft *d, struct lot *out, struct chamber_use *use)
{
    const char *chamber = NULL;
    TRY(json_get_text(d->cmd->body, "chamber", "chamber", JSON_OPTIONAL, &chamber));
    if (chamber != NULL) {
        TRY(lot_in_chamber(d, chamber, "chamber", out));
    } else {
        TRY(lot_named(d, d->cmd->body, "lot", "lot", out));
    }
    return chamber_use_of(d, out, chamber != NULL ? "chamber" : "lot", use);
}

static struct result read_share(struct draft *d, const struct lot *lot,
                                const struct chamber_use *use, int64_t *out_ppm)
{
    const char *share = "rest";
    int64_t left_ppm = 1000000 - use->shares_ppm;
    TRY(json_get_text(d->cmd->body, "share", "share", JSON_OPTIONAL, &share));
    if (strcmp(share, "rest") == 0) {
        *out_ppm = left_ppm;
        return RESULT_OK;
    }
    TRY(percent_read(share, "share", out_ppm));
    if (*out_ppm <= 0) {
        return FAIL2(FIELD_RANGE, "share", share, "above 0 % or \"rest\"");
    }
    if (*out_ppm > left_ppm) {
        TRY(draft_break(d, "share-over", lot->id, use->place, 0, 0,
                        FAIL1(SHARE_OVER, "share", share)));
        *out_ppm = left_ppm;
    }
    return RESULT_OK;
}

/* Held against the range that the item's expansion can have. value in 1/1000 kg/kg. */
static struct result check_expansion(struct draft *d, const struct lot *lot, int64_t out_mg,
                                     int64_t seed_mg)
{
    struct limit l;
    TRY(limit_in_force(d->store, d->profile, "expansion", lot->item, d->cmd->happened_ms, &l));
    if (seed_mg <= 0) {
        return RESULT_OK; /* no seed mass is left to compare with: the stock rule has spoken already
                           */
    }
    int64_t ratio = (int64_t)((__int128)out_mg * 1000 / seed_mg);
    if ((l.has_low && ratio < l.low) || (l.has_high && ratio > l.high)) {
        const char *range =
            arena_printf(d->arena, "%s to %s", decimal_text(d->arena, l.low, 3, false),
                         decimal_text(d->arena, l.high, 3, false));
        TRY(draft_break(d, "expansion-out-of-range", lot->id, NULL, 0, 0,
                        FAIL3(EXPANSION_OUT, "mass", lot->code,
                              decimal_text(d->arena, ratio, 3, false), range)));
    }
    return RESULT_OK;
}

/* Sprouts can't hold more dry matter than their seed did. Needs the moisture of the sprouts as
 * tested. */
static struct result check_dry_matter(struct draft *d, const struct lot *lot,
                                      const struct crop *crop, int64_t out_mg, int64_t seed_mg)
{
    const char *text = NULL;
    int64_t moisture_ppm;
    TRY(json_get_text(d->cmd->body, "moisture", "moisture", JSON_OPTIONAL, &text));
    if (text == NULL) {
        return RESULT_OK;
    }
    TRY(percent_read(text, "moisture", &moisture_ppm));
    if (moisture_ppm < 0 || moisture_ppm > 1000000) {
        return FAIL2(FIELD_RANGE, "moisture", text, "0 % to 100 %");
    }
    int64_t out_dry = (int64_t)((__int128)out_mg * (1000000 - moisture_ppm) / 1000000);
    int64_t seed_dry = (int64_t)((__int128)seed_mg * (1000000 - crop->seed_moisture_ppm) / 1000000);
    draft_add(d, EFFECT_READING,
              "ittoniti"
              "tti",
              (int64_t)0, "sprout-moisture", lot->place, lot->id, moisture_ppm, "ppm",
              (int64_t)(out_dry <= seed_dry), NULL, "{}", d->cmd->happened_ms);
    if (out_dry > seed_dry) {
        TRY(draft_break(d, "dry-matter-above-seed", lot->id, NULL, 0, 0,
                        FAIL3(DRY_MATTER_OVER, "moisture", lot->code,
                              mass_text(d->arena, out_dry, 0), mass_text(d->arena, seed_dry, 0))));
    }
    return RESULT_OK;
}

static struct result make_harvested(struct draft *d, const struct lot *batch,
                                    const struct place *place, struct output *out)
{
    const char *code = NULL;
    TRY(json_get_text(d->cmd->body, "lot_out", "lot_out", JSON_OPTIONAL, &code));
    struct new_lot lot = {.code = code,
                          .item = batch->item,
                          .kind = "harvested",
                          .place = place->code,
                          .born_ms = d->cmd->happened_ms,
                          .day = d->cmd->day,
                          .markets = batch->markets};
    return draft_lot(d, &lot, &out->lot, &out->lot_code);
}

/* seed share out of the batch, sprouts in, what was breathed out to air, the rest from water. */
static struct result move_harvest(struct draft *d, const struct lot *batch, const struct crop *crop,
                                  int64_t seed_mg, const struct output *out)
{
    struct amount seed = {.unit = UNIT_MG, .value = seed_mg, .how = HOW_STANDARD};
    TRY(draft_move_lot(d, batch->id, batch->code, -1, &seed));
    TRY(draft_move_lot(d, out->lot, out->lot_code, 1, &out->amount));
    int64_t dry = (int64_t)((__int128)seed_mg * (1000000 - crop->seed_moisture_ppm) / 1000000);
    struct amount air = {.unit = UNIT_MG,
                         .value = (int64_t)((__int128)dry * crop->dry_loss_ppm / 1000000),
                         .how = HOW_STANDARD};
    draft_move_account(d, "air", 1, &air);
    int64_t gain = out->amount.value - seed_mg + air.value;
    struct amount water = {
        .unit = UNIT_MG, .value = gain < 0 ? -gain : gain, .how = HOW_DIFFERENCE};
    draft_move_account(d, "water", gain < 0 ? 1 : -1, &water);
    return RESULT_OK;
}

static int64_t seed_of_share(const struct chamber_use *use, int64_t share_ppm, int64_t left_mg)
{
    if (use->shares_ppm + share_ppm >= 1000000) {
        return left_mg; /* the last takes the rest */
    }
    int64_t mg = (int64_t)((__int128)use->seed_mg * share_ppm / 1000000);
    return mg < left_mg ? mg : left_mg;
}

struct result decide_harvest(struct draft *d)
{
    static const char *const names[] = {"lot",        "chamber",  "share", "mass",  "how",
                                        "instrument", "gross",    "tare",  "place", "lot_out",
                                        "emptied",    "moisture", NULL};
    struct lot batch;
    struct chamber_use use;
    struct place place;
    struct input in;
    struct output out = {0};
    int64_t share_ppm, left_mg, at_ms = d->cmd->happened_ms;
    bool emptied = false, given;
    TRY(draft_only(d, "a harvest", names));
    TRY(batch_named(d, &batch, &use));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(input_of_lot(d, &batch, "", at_ms, at_ms, &in));
    TRY(read_share(d, &batch, &use, &share_ppm));
    TRY(draft_read_mass(d, d->cmd->body, "", JSON_NEEDED, HOW_WEIGHED, &out.amount, &given));
    TRY(json_get_bool(d->cmd->body, "emptied", "emptied", JSON_OPTIONAL, &emptied));
    emptied = emptied || use.shares_ppm + share_ppm >= 1000000;
    int64_t emptied_ms = use.emptied_ms != 0 ? use.emptied_ms : emptied ? at_ms : 0;
    const struct crop *crop = profile_crop(d->profile, use.item);
    if (crop == NULL) {
        return FAIL1(ITEM_UNKNOWN, "lot", use.item);
    }
    left_mg = in.amount.value;
    if (emptied) {
        share_ppm = 1000000 - use.shares_ppm;
    }
    int64_t seed_mg = seed_of_share(&use, share_ppm, left_mg);
    TRY(check_expansion(d, &batch, out.amount.value, seed_mg));
    TRY(check_dry_matter(d, &batch, crop, out.amount.value, seed_mg));
    TRY(make_harvested(d, &batch, &place, &out));
    TRY(move_harvest(d, &batch, crop, seed_mg, &out));
    TRY(draft_edge(d, batch.id, out.lot, out.amount.value, "measured"));
    int64_t step = draft_step(d, use.place, 0, at_ms, at_ms, out.lot, "");
    draft_step_lot(d, step, batch.id, "in", seed_mg, at_ms, at_ms);
    draft_step_lot(d, step, out.lot, "out", out.amount.value, at_ms, at_ms);
    draft_add(d, EFFECT_CHAMBER_USE_STATE, "iioio", batch.id, use.shares_ppm + share_ppm,
              emptied_ms, use.shares_ppm, use.emptied_ms);
    if (emptied && batch.closed_ms == 0) {
        draft_add(d, EFFECT_LOT_CLOSED, "iio", batch.id, at_ms, batch.closed_ms);
    }
    json_object_set_new(d->answer, "lot", json_string(out.lot_code));
    json_object_set_new(d->answer, "mass", json_string(mass_text(d->arena, out.amount.value, 0)));
    json_object_set_new(d->answer, "emptied", json_boolean(emptied));
    return RESULT_OK;
}

/* Emptied without a harvest, or of what was left: the seed share still in it goes to waste, with
 * what it had gained. */
struct result decide_empty(struct draft *d)
{
    static const char *const names[] = {"lot",        "chamber", "mass", "how",
                                        "instrument", "gross",   "tare", NULL};
    struct lot batch;
    struct chamber_use use;
    struct amount mass;
    bool given;
    int64_t left, at_ms = d->cmd->happened_ms;
    TRY(draft_only(d, "an emptying", names));
    TRY(batch_named(d, &batch, &use));
    TRY(lot_fits(d, &batch, "lot"));
    TRY(draft_read_mass(d, d->cmd->body, "", JSON_OPTIONAL, HOW_WEIGHED, &mass, &given));
    TRY(draft_balance(d, batch.id, UNIT_MG, &left));
    left = left > 0 ? left : 0;
    struct amount seed = {.unit = UNIT_MG, .value = left, .how = HOW_STANDARD};
    TRY(draft_move_lot(d, batch.id, batch.code, -1, &seed));
    if (given) {
        int64_t gain = mass.value - left;
        struct amount water = {
            .unit = UNIT_MG, .value = gain < 0 ? -gain : gain, .how = HOW_DIFFERENCE};
        draft_move_account(d, "waste", 1, &mass);
        draft_move_account(d, "water", gain < 0 ? 1 : -1, &water);
    } else {
        draft_move_account(d, "waste", 1, &seed);
    }
    int64_t step = draft_step(d, use.place, 0, at_ms, at_ms, batch.id, "");
    draft_step_lot(d, step, batch.id, "in", left, at_ms, at_ms);
    draft_add(d, EFFECT_CHAMBER_USE_STATE, "iiiio", batch.id, (int64_t)1000000,
              use.emptied_ms != 0 ? use.emptied_ms : at_ms, use.shares_ppm, use.emptied_ms);
    if (batch.closed_ms == 0) {
        draft_add(d, EFFECT_LOT_CLOSED, "iio", batch.id, at_ms, batch.closed_ms);
    }
    json_object_set_new(d->answer, "lot", json_string(batch.code));
    return RESULT_OK;
}
