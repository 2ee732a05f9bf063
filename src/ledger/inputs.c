#include "ledger/inputs.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"

static struct result read_window(const json_t *o, struct draft *d, const char *path, int64_t start_ms, int64_t end_ms,
                                 int64_t *out_from, int64_t *out_to)
{
    const char *from = NULL, *to = NULL;
    *out_from = start_ms;
    *out_to = end_ms;
    TRY(json_get_text(o, "from", arena_printf(d->arena, "%s.from", path), JSON_OPTIONAL, &from));
    TRY(json_get_text(o, "to", arena_printf(d->arena, "%s.to", path), JSON_OPTIONAL, &to));
    if (from != NULL) {
        TRY(civil_read(from, arena_printf(d->arena, "%s.from", path), out_from));
    }
    if (to != NULL) {
        TRY(civil_read(to, arena_printf(d->arena, "%s.to", path), out_to));
    }
    return *out_to >= *out_from ? RESULT_OK : FAIL2(END_BEFORE_START, path, from, to);
}

static struct result check_rules(struct draft *d, struct input *in)
{
    const struct profile_step *step = d->cmd->step;
    const char *field = arena_printf(d->arena, "%s%slot", in->path, in->path[0] != '\0' ? "." : "");
    if (step != NULL && step->in_kinds[0] != '\0' && !list_has(step->in_kinds, in->lot.kind)) {
        TRY(draft_break(d, "wrong-kind", in->lot.id, NULL, 0, 0,
                        FAIL3(LOT_KIND, field, in->lot.code, in->lot.kind, step->in_kinds)));
    }
    if (in->lot.closed_ms != 0) {
        TRY(draft_break(d, "lot-closed", in->lot.id, NULL, 0, 0, FAIL1(LOT_CLOSED, field, in->lot.code)));
    }
    struct hold *holds;
    size_t count;
    TRY(holds_on(d->store, d->arena, in->lot.id, 0, "use", &holds, &count));
    in->held = count > 0;
    if (in->held) {
        TRY(draft_break(d, "held-used", in->lot.id, NULL, 0, 0,
                        FAIL3(HELD, field, in->lot.code, holds[0].code, holds[0].kind)));
    }
    return RESULT_OK;
}

/* All that is left of a lot is known as its own mass was. */
static struct result all_of_lot(struct draft *d, struct input *in)
{
    struct statement *q = store_prepare(d->store, Q_LOT_HOW);
    store_bind_int(q, 1, in->lot.id);
    bool row;
    TRY(store_step(q, &row));
    in->amount.unit = UNIT_MG;
    in->amount.how = HOW_STANDARD;
    if (row) {
        const char *how = store_text(q, 0);
        in->amount.how = strcmp(how, "weighed") == 0 ? HOW_WEIGHED : strcmp(how, "counted") == 0 ? HOW_COUNTED : HOW_STANDARD;
        in->amount.uncertainty = store_int(q, 1);
        TRY(store_step(q, &row));
    }
    TRY(draft_balance(d, in->lot.id, UNIT_MG, &in->amount.value));
    if (in->amount.value < 0) {
        in->amount.value = 0; /* it owes already: nothing is left to take */
    }
    return RESULT_OK;
}

static struct result check_mix(struct draft *d, const struct input *inputs, size_t count)
{
    const struct input *held = NULL;
    bool free_too = false;
    for (size_t i = 0; i < count; i++) {
        struct hold *holds;
        size_t n;
        TRY(holds_on(d->store, d->arena, inputs[i].lot.id, 0, "mix", &holds, &n));
        if (n > 0) {
            held = &inputs[i];
        } else {
            free_too = true;
        }
    }
    if (held != NULL && free_too) {
        const char *field = arena_printf(d->arena, "%s.lot", held->path);
        TRY(draft_break(d, "held-mixed", held->lot.id, NULL, 0, 0, FAIL2(HELD_MIX, field, held->lot.code, "mix")));
    }
    return RESULT_OK;
}

struct result input_of_lot(struct draft *d, const struct lot *lot, const char *path, struct input *out)
{
    *out = (struct input){.lot = *lot, .path = path, .from_ms = d->cmd->happened_ms, .to_ms = d->cmd->happened_ms};
    TRY(check_rules(d, out));
    return all_of_lot(d, out);
}

struct result inputs_read(struct draft *d, int64_t start_ms, int64_t end_ms, struct input **out, size_t *out_count)
{
    static const char *const names[] = {"lot", "mass", "how", "instrument", "gross", "tare", "from", "to", NULL};
    json_t *list = NULL;
    TRY(json_get_array(d->cmd->body, "inputs", "inputs", JSON_NEEDED, &list));
    size_t count = json_array_size(list);
    if (count == 0 || count > INPUTS_MAX) {
        return FAIL2(FIELD_RANGE, "inputs", count == 0 ? "empty" : "too long", "1 to 200 lots");
    }
    struct input *inputs = ARENA_ARRAY(d->arena, struct input, count);
    for (size_t i = 0; i < count; i++) {
        const json_t *o = json_array_get(list, i);
        struct input *in = &inputs[i];
        in->path = arena_printf(d->arena, "inputs[%zu]", i);
        if (!json_is_object(o)) {
            return FAIL2(FIELD_TYPE, in->path, "an object", "something else");
        }
        TRY(json_only(o, in->path, "an input", names));
        TRY(lot_named(d, o, "lot", arena_printf(d->arena, "%s.lot", in->path), &in->lot));
        TRY(read_window(o, d, in->path, start_ms, end_ms, &in->from_ms, &in->to_ms));
        TRY(check_rules(d, in));
        bool given;
        TRY(draft_read_mass(d, o, in->path, JSON_OPTIONAL, HOW_WEIGHED, &in->amount, &given));
        if (!given) {
            TRY(all_of_lot(d, in));
        }
    }
    *out = inputs;
    *out_count = count;
    return check_mix(d, inputs, count);
}

struct result inputs_take(struct draft *d, const struct input *inputs, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        TRY(draft_move_lot(d, inputs[i].lot.id, inputs[i].lot.code, -1, &inputs[i].amount));
    }
    return RESULT_OK;
}

int64_t inputs_total(const struct input *inputs, size_t count)
{
    int64_t total = 0;
    for (size_t i = 0; i < count; i++) {
        total += inputs[i].amount.value;
    }
    return total;
}

static const struct step_out *out_spec(const struct profile_step *step, const char *role)
{
    for (size_t i = 0; step != NULL && i < step->out_count; i++) {
        if (strcmp(step->outs[i].role, role) == 0) {
            return &step->outs[i];
        }
    }
    return NULL;
}

struct result outputs_read(struct draft *d, int64_t start_ms, int64_t end_ms, struct output **out, size_t *out_count)
{
    static const char *const names[] = {"role", "lot", "mass", "how", "instrument", "gross", "tare", "from", "to", NULL};
    json_t *list = NULL;
    TRY(json_get_array(d->cmd->body, "outputs", "outputs", JSON_NEEDED, &list));
    size_t count = json_array_size(list);
    if (count == 0 || count > 20) {
        return FAIL2(FIELD_RANGE, "outputs", count == 0 ? "empty" : "too long", "1 to 20 outputs");
    }
    struct output *outputs = ARENA_ARRAY(d->arena, struct output, count);
    for (size_t i = 0; i < count; i++) {
        const json_t *o = json_array_get(list, i);
        struct output *output = &outputs[i];
        const char *role = NULL;
        output->path = arena_printf(d->arena, "outputs[%zu]", i);
        if (!json_is_object(o)) {
            return FAIL2(FIELD_TYPE, output->path, "an object", "something else");
        }
        TRY(json_only(o, output->path, "an output", names));
        const char *role_path = arena_printf(d->arena, "%s.role", output->path);
        TRY(json_get_text(o, "role", role_path, JSON_NEEDED, &role));
        output->spec = out_spec(d->cmd->step, role);
        if (output->spec == NULL) {
            return FAIL2(FIELD_CHOICE, role_path, role, "the outputs that the profile gives this step");
        }
        TRY(json_get_text(o, "lot", arena_printf(d->arena, "%s.lot", output->path), JSON_OPTIONAL, &output->code));
        TRY(read_window(o, d, output->path, start_ms, end_ms, &output->from_ms, &output->to_ms));
        bool given;
        TRY(draft_read_mass(d, o, output->path, JSON_OPTIONAL, HOW_WEIGHED, &output->amount, &given));
        output->by_difference = !given;
    }
    *out = outputs;
    *out_count = count;
    return RESULT_OK;
}

struct result step_residual(struct draft *d, const struct input *inputs, size_t input_count, int64_t out_total, bool all_known)
{
    const struct profile_step *step = d->cmd->step;
    int64_t in_total = inputs_total(inputs, input_count);
    int64_t rest = in_total - out_total;
    if (rest == 0) {
        return RESULT_OK;
    }
    int64_t size = rest < 0 ? -rest : rest;
    if (size > (int64_t)((__int128)in_total * step->tolerance_ppm / 1000000)) {
        TRY(draft_break(d, "balance-out-of-tolerance", inputs[0].lot.id, NULL, 0, 0,
                        FAIL1(NOT_BALANCED, "outputs", mass_text(d->arena, rest, 0))));
    }
    bool unexplained = strcmp(step->difference, "unexplained") == 0;
    struct amount amount = {.unit = UNIT_MG, .value = size, .how = HOW_DIFFERENCE};
    /* a step with a mass that was not weighed or counted explains nothing: its rest is waste, not "unexplained" */
    const char *account = unexplained && !all_known ? "waste" : step->difference[0] != '\0' ? step->difference : "waste";
    draft_move_account(d, account, rest > 0 ? 1 : -1, &amount);
    return RESULT_OK;
}

struct result run_named(struct draft *d, struct run *out)
{
    const char *code = NULL;
    *out = (struct run){0};
    TRY(json_get_text(d->cmd->body, "run", "run", JSON_OPTIONAL, &code));
    if (code == NULL) {
        return RESULT_OK;
    }
    bool found;
    TRY(run_by_code(d->store, d->arena, code, out, &found));
    return found ? RESULT_OK : FAIL1(RUN_UNKNOWN, "run", code);
}
