/* Washing, trimming, rinsing, sorting, drying: lots in, lots out, with by-products and what water
 * or drain took. */
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"
#include "ledger/inputs.h"
#include "ledger/markets.h"
#include "ledger/watering.h"

/* At most one leg of a step is by difference; it takes what the others leave. */
static struct result settle_outputs(struct draft *d, struct output *outputs, size_t count,
                                    int64_t in_total, bool *out_known)
{
    struct output *open = NULL;
    int64_t sum = 0;
    *out_known = true;
    for (size_t i = 0; i < count; i++) {
        if (outputs[i].by_difference) {
            if (open != NULL) {
                return FAIL1(FIELD_MISSING, arena_printf(d->arena, "%s.mass", outputs[i].path),
                             "At most one output of a step may stand without a mass.");
            }
            open = &outputs[i];
            continue;
        }
        sum += outputs[i].amount.value;
        *out_known = *out_known &&
                     (outputs[i].amount.how == HOW_WEIGHED || outputs[i].amount.how == HOW_COUNTED);
    }
    if (open != NULL) {
        *out_known = false;
        open->amount = (struct amount){
            .unit = UNIT_MG, .value = in_total > sum ? in_total - sum : 0, .how = HOW_DIFFERENCE};
    }
    return RESULT_OK;
}

static struct result check_yield(struct draft *d, const struct output *out, int64_t in_total)
{
    const struct step_out *spec = out->spec;
    if (spec->yield_high_ppm == 0 || in_total <= 0) {
        return RESULT_OK;
    }
    int64_t ppm = (int64_t)((__int128)out->amount.value * 1000000 / in_total);
    if (ppm >= spec->yield_low_ppm && ppm <= spec->yield_high_ppm) {
        return RESULT_OK;
    }
    const char *percent =
        arena_printf(d->arena, "%s %%", decimal_text(d->arena, ppm / 100, 2, false));
    const char *field = arena_printf(d->arena, "%s.mass", out->path);
    return draft_break(d, "yield-out-of-range", out->lot, NULL, 0, 0,
                       FAIL2(YIELD_OUT, field, spec->role, percent));
}

/* What may go to a market must have been made of what may. */
static const char *markets_of(struct draft *d, const struct input *inputs, size_t count)
{
    const char *markets = inputs[0].lot.markets;
    for (size_t i = 1; i < count; i++) {
        markets = markets_common(d->arena, markets, inputs[i].lot.markets);
    }
    return markets;
}

static struct result make_output(struct draft *d, const struct input *inputs, size_t input_count,
                                 const struct run *run, const struct place *place, int64_t step,
                                 struct output *out)
{
    struct new_lot lot = {.code = out->code,
                          .item = out->spec->item != NULL ? out->spec->item : inputs[0].lot.item,
                          .kind = out->spec->kind,
                          .place = place->code,
                          .born_ms = out->from_ms,
                          .day = d->cmd->day,
                          .markets = markets_of(d, inputs, input_count)};
    TRY(draft_lot(d, &lot, &out->lot, &out->lot_code));
    TRY(draft_move_lot(d, out->lot, out->lot_code, 1, &out->amount));
    TRY(edges_to_output(d, inputs, input_count, run, out));
    TRY(window_holds(d, run, out));
    draft_step_lot(d, step, out->lot, "out", out->amount.value, out->from_ms, out->to_ms);
    json_t *list = json_object_get(d->answer, "lots");
    json_array_append_new(list,
                          json_pack("{s:s,s:s,s:s}", "role", out->spec->role, "lot", out->lot_code,
                                    "mass", mass_text(d->arena, out->amount.value, 0)));
    return RESULT_OK;
}

static struct result check_items(struct draft *d, const struct input *inputs, size_t count)
{
    for (size_t i = 1; i < count; i++) {
        if (strcmp(inputs[i].lot.item, inputs[0].lot.item) != 0) {
            return FAIL2(FIELD_CHOICE, arena_printf(d->arena, "inputs[%zu].lot", i),
                         inputs[i].lot.code, inputs[0].lot.item);
        }
    }
    return RESULT_OK;
}

struct result decide_process(struct draft *d)
{
    static const char *const names[] = {"inputs", "outputs", "place", "run",
                                        "start",  "end",     "water", NULL};
    struct place place;
    struct run run;
    struct input *inputs;
    struct output *outputs;
    size_t input_count, output_count;
    int64_t start_ms, end_ms, out_total = 0;
    bool known;
    const char *water;
    TRY(draft_only(d, "this step", names));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(watering_source(d, "water", JSON_OPTIONAL, &water));
    TRY(draft_read_span(d, &start_ms, &end_ms));
    TRY(run_of_step(d, &place, start_ms, end_ms, &run));
    TRY(inputs_read(d, start_ms, end_ms, &inputs, &input_count));
    TRY(check_items(d, inputs, input_count));
    TRY(outputs_read(d, start_ms, end_ms, &outputs, &output_count));
    int64_t in_total = inputs_total(inputs, input_count);
    TRY(settle_outputs(d, outputs, output_count, in_total, &known));
    TRY(inputs_take(d, inputs, input_count));
    int64_t step = draft_step(d, place.code, run.id, start_ms, end_ms, 0, "");
    for (size_t i = 0; i < input_count; i++) {
        known =
            known && (inputs[i].amount.how == HOW_WEIGHED || inputs[i].amount.how == HOW_COUNTED);
        draft_step_lot(d, step, inputs[i].lot.id, "in", inputs[i].amount.value, inputs[i].from_ms,
                       inputs[i].to_ms);
    }
    json_object_set_new(d->answer, "lots", json_array());
    for (size_t i = 0; i < output_count; i++) {
        TRY(make_output(d, inputs, input_count, &run, &place, step, &outputs[i]));
        TRY(check_yield(d, &outputs[i], in_total));
        watering_add(d, i, place.code, outputs[i].lot, water, outputs[i].from_ms, outputs[i].to_ms);
        out_total += outputs[i].amount.value;
    }
    TRY(edges_to_earlier(d, inputs, input_count, &run));
    return step_residual(d, inputs, input_count, out_total, known);
}
