#include "ledger/inputs.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"

struct result read_moment(struct draft *d, const json_t *o, const char *path, const char *key,
                          int64_t *out_ms)
{
    const char *dot = path[0] != '\0' ? "." : "", *text = NULL;
    const char *field = arena_printf(d->arena, "%s%s%s", path, dot, key);
    TRY(json_get_text(o, key, field, JSON_OPTIONAL, &text));
    if (text == NULL) {
        return RESULT_OK;
    }
    TRY(civil_read(text, field, out_ms));
    if (*out_ms > d->cmd->recorded_ms + LEDGER_FUTURE_MS) {
        return FAIL2(TIME_FUTURE, field, text, civil_short(d->arena, d->cmd->recorded_ms));
    }
    return RESULT_OK;
}

static struct result read_window(const json_t *o, struct draft *d, const char *path,
                                 int64_t start_ms, int64_t end_ms, int64_t *out_from,
                                 int64_t *out_to)
{
    *out_from = start_ms;
    *out_to = end_ms;
    TRY(read_moment(d, o, path, "from", out_from));
    TRY(read_moment(d, o, path, "to", out_to));
    return *out_to >= *out_from ? RESULT_OK
                                : FAIL2(END_BEFORE_START, path, civil_short(d->arena, *out_from),
                                        civil_short(d->arena, *out_to));
}

/* What a hold must stop for this act to break it. Harvesting into a held lot and cooling always
 * stay possible. */
static const char *stops_of(const struct command *cmd)
{
    if (strcmp(cmd->act, "harvest") == 0) {
        return "";
    }
    if (strcmp(cmd->act, "pass") == 0) {
        return cmd->step->wets ? "use" : "";
    }
    return strcmp(cmd->act, "pack") == 0 ? "use,pack" : "use";
}

struct result lot_not_held(struct draft *d, const struct lot *lot, const char *field,
                           const char *stops, const char *rule)
{
    struct hold *holds;
    size_t count;
    TRY(holds_on(d->store, d->arena, lot->id, 0, "", &holds, &count));
    for (size_t i = 0; i < count; i++) {
        const char *at = stops;
        char stop[16];
        while (list_next(&at, stop, sizeof stop)) {
            if (list_has(holds[i].stops, stop)) {
                return draft_break(d, rule, lot->id, NULL, 0, 0,
                                   FAIL3(HELD, field, lot->code, holds[i].code, holds[i].kind));
            }
        }
    }
    return RESULT_OK;
}

struct result lot_fits(struct draft *d, const struct lot *lot, const char *field)
{
    const struct profile_step *step = d->cmd->step;
    if (step != NULL && step->in_kinds[0] != '\0' && !list_has(step->in_kinds, lot->kind)) {
        TRY(draft_break(d, "wrong-kind", lot->id, NULL, 0, 0,
                        FAIL3(LOT_KIND, field, lot->code, lot->kind, step->in_kinds)));
    }
    if (lot->closed_ms != 0) {
        TRY(draft_break(d, "lot-closed", lot->id, NULL, 0, 0, FAIL1(LOT_CLOSED, field, lot->code)));
    }
    return RESULT_OK;
}

static struct result check_rules(struct draft *d, const struct input *in)
{
    const char *field = arena_printf(d->arena, "%s%slot", in->path, in->path[0] != '\0' ? "." : "");
    TRY(lot_fits(d, &in->lot, field));
    TRY(lot_not_held(d, &in->lot, field, stops_of(d->cmd), "held-used"));
    if (in->from_ms < in->lot.born_ms) { /* nothing of it was there yet */
        TRY(draft_break(d, "used-before-born", in->lot.id, NULL, in->from_ms, in->lot.born_ms,
                        FAIL3(LOT_NOT_YET, field, in->lot.code,
                              civil_short(d->arena, in->lot.born_ms),
                              civil_short(d->arena, in->from_ms))));
    }
    return RESULT_OK;
}

struct result all_of_lot(struct draft *d, int64_t lot, struct amount *out)
{
    struct statement *q = store_prepare(d->store, Q_LOT_HOW);
    store_bind_int(q, 1, lot);
    bool row;
    TRY(store_step(q, &row));
    *out = (struct amount){.unit = UNIT_MG, .how = HOW_STANDARD};
    if (row) {
        const char *how = store_text(q, 0);
        out->how = strcmp(how, "weighed") == 0   ? HOW_WEIGHED
                   : strcmp(how, "counted") == 0 ? HOW_COUNTED
                                                 : HOW_STANDARD;
        out->uncertainty = store_int(q, 1);
        TRY(store_step(q, &row));
    }
    TRY(draft_balance(d, lot, UNIT_MG, &out->value));
    if (out->value < 0) {
        out->value = 0; /* it owes already: nothing is left to take */
    }
    return RESULT_OK;
}

struct result inputs_not_mixed(struct draft *d, const struct input *inputs, size_t count)
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
        TRY(draft_break(d, "held-mixed", held->lot.id, NULL, 0, 0,
                        FAIL2(HELD_MIX, field, held->lot.code, "mix")));
    }
    return RESULT_OK;
}

struct result input_of_lot(struct draft *d, const struct lot *lot, const char *path,
                           int64_t from_ms, int64_t to_ms, struct input *out)
{
    *out =
        (struct input){.lot = *lot, .path = path, .from_ms = from_ms, .to_ms = to_ms, .all = true};
    TRY(check_rules(d, out));
    return all_of_lot(d, lot->id, &out->amount);
}

/* A lot may go in twice, at two times and with a mass each. */
static struct result once_only(const struct input *inputs, size_t at, bool given)
{
    for (size_t i = 0; i < at; i++) {
        if (inputs[i].lot.id != inputs[at].lot.id) {
            continue;
        }
        if (inputs[i].from_ms == inputs[at].from_ms) {
            return FAIL2(FIELD_RANGE, inputs[at].path, inputs[at].lot.code,
                         "named once for a time");
        }
        if (!given || inputs[i].all) {
            return FAIL1(FIELD_MISSING, inputs[given ? i : at].path,
                         "A lot that goes in twice needs a mass each time.");
        }
    }
    return RESULT_OK;
}

struct result inputs_read(struct draft *d, int64_t start_ms, int64_t end_ms, struct input **out,
                          size_t *out_count)
{
    static const char *const names[] = {"lot",  "mass", "how", "instrument", "gross",
                                        "tare", "from", "to",  NULL};
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
            TRY(all_of_lot(d, in->lot.id, &in->amount));
        }
        in->all = !given;
        TRY(once_only(inputs, i, given));
    }
    *out = inputs;
    *out_count = count;
    return inputs_not_mixed(d, inputs, count);
}

struct result inputs_take(struct draft *d, const struct input *inputs, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        TRY(draft_move_lot(d, inputs[i].lot.id, inputs[i].lot.code, -1, &inputs[i].amount));
    }
    for (size_t i = 0; i < count; i++) {
        TRY(lot_close_when_empty(d, &inputs[i].lot));
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

struct result outputs_read(struct draft *d, int64_t start_ms, int64_t end_ms, struct output **out,
                           size_t *out_count)
{
    static const char *const names[] = {"role",  "lot",  "mass", "how", "instrument",
                                        "gross", "tare", "from", "to",  NULL};
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
            return FAIL2(FIELD_CHOICE, role_path, role,
                         "the outputs that the profile gives this step");
        }
        TRY(json_get_text(o, "lot", arena_printf(d->arena, "%s.lot", output->path), JSON_OPTIONAL,
                          &output->code));
        TRY(read_window(o, d, output->path, start_ms, end_ms, &output->from_ms, &output->to_ms));
        bool given;
        TRY(draft_read_mass(d, o, output->path, JSON_OPTIONAL, HOW_WEIGHED, &output->amount,
                            &given));
        output->by_difference = !given;
    }
    *out = outputs;
    *out_count = count;
    return RESULT_OK;
}

struct result step_residual(struct draft *d, const struct input *inputs, size_t input_count,
                            int64_t out_total, bool all_known)
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
    /* a step with a mass that was not weighed or counted explains nothing: its rest is waste, not
     * "unexplained" */
    const char *account = unexplained && !all_known     ? "waste"
                          : step->difference[0] != '\0' ? step->difference
                                                        : "waste";
    draft_move_account(d, account, rest > 0 ? 1 : -1, &amount);
    return RESULT_OK;
}
