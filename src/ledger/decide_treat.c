/* Heat treatment: the log is judged as it arrives. The validated recipe decides; lethality with
 * stand-in constants is shown and decides nothing. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "calc/heat/hold_check.h"
#include "calc/heat/lethal_set.h"
#include "calc/heat/treatment.h"
#include "ledger/inputs.h"
#include "ledger/treat_findings.h"

/* Where the best estimate's kill came from. */
static void put_shares(json_t *data, const struct treatment_lethality *out)
{
    json_object_set_new(data, "share_come_up_ppm", json_integer(out->share_come_up_ppm));
    json_object_set_new(data, "share_hold_ppm", json_integer(out->share_hold_ppm));
    json_object_set_new(data, "share_cooling_ppm", json_integer(out->share_cooling_ppm));
}

/* A stand-in until a process authority has signed constants for this seed: shown as such, decides
 * nothing. */
static struct result stand_in_lethality(struct draft *d, const struct treat_log *log,
                                        int32_t limit_mc, json_t *data)
{
    const struct lethal_set *set = lethal_set_find("seed-salmonella");
    CHECK(set != NULL); /* stands in constants/heat.csv */
    struct treatment_constants constants = treatment_of_set(set);
    constants.limit_mc = limit_mc;
    constants.gap = LETHALITY_GAP_ZERO;
    constants.window = LETHALITY_WINDOW_HOLD;
    struct treatment_lethality out;
    struct result r = treatment_lethality(d->arena, &log->mc, &constants, &out);
    if (r.code != CODE_OK) {
        json_object_set_new(data, "lethality_refused", json_string(code_id(r.code)));
        return RESULT_OK; /* information only: a log it can't be computed for is judged by the
                             recipe all the same */
    }
    json_object_set_new(data, "lethality_set", json_string(set->name));
    json_object_set_new(data, "lethality_stand_in", json_true());
    json_object_set_new(data, "f_best_ms", json_integer(out.f_best_ms));
    json_object_set_new(data, "f_conservative_ms", json_integer(out.f_conservative_ms));
    json_object_set_new(data, "reduction_shown", json_string(out.shown));
    json_object_set_new(data, "coldest_probe", json_integer((json_int_t)out.coldest_probe));
    json_object_set_new(data, "gap_longest_ms", json_integer(out.gap_longest_ms));
    put_shares(data, &out);
    return RESULT_OK;
}

/* Is a validation document for the recipe among the papers? Only a paper of that kind counts. */
static struct result has_validation(struct draft *d, const char *wanted, bool *out)
{
    json_t *papers = NULL;
    *out = false;
    TRY(json_get_array(d->cmd->body, "papers", "papers", JSON_OPTIONAL, &papers));
    size_t i;
    json_t *value;
    json_array_foreach(papers, i, value)
    {
        const char *path = arena_printf(d->arena, "papers[%zu]", i);
        struct hash sha;
        if (!json_is_string(value)) {
            return FAIL2(FIELD_TYPE, path, "the SHA-256 of an attachment", "something else");
        }
        TRY(hex_read(json_string_value(value), path, sha.b, sizeof sha.b));
        struct statement *q = store_prepare(d->store, Q_PAPER_KIND);
        store_bind_bytes(q, 1, sha.b, sizeof sha.b);
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return FAIL1(PAPER_UNKNOWN, path, json_string_value(value));
        }
        *out = *out || strcmp(store_text(q, 0), wanted) == 0;
        while (row) {
            TRY(store_step(q, &row));
        }
    }
    return RESULT_OK;
}

static struct result judge_recipe(struct draft *d, const struct recipe *recipe,
                                  const struct treat_log *log, json_t *data, bool *out_met,
                                  const char **out_reason)
{
    const char *cool = NULL;
    struct hold_recipe hold = {.temp_mc = (int32_t)recipe->temp_mc,
                               .hold_ms = recipe->hold_ms,
                               .cool_within_ms = recipe->cool_ms,
                               .gap_max_ms = recipe->interval_ms};
    TRY(json_get_text(d->cmd->body, "cool_start", "cool_start", JSON_OPTIONAL, &cool));
    if (cool != NULL) {
        hold.has_cool_start = true;
        TRY(civil_read(cool, "cool_start", &hold.cool_start_ms));
    }
    struct hold_report report;
    TRY(hold_check(&log->mc, &hold, &report));
    bool validated;
    TRY(has_validation(d, "validation", &validated));
    json_object_set_new(data, "hold_s", json_integer(report.hold_s));
    json_object_set_new(data, "hold_wanted_s", json_integer(recipe->hold_ms / 1000));
    json_object_set_new(data, "hold_state", json_string(hold_state_word(report.state)));
    json_object_set_new(data, "coldest_peak_mc", json_integer(report.coldest_peak_mc));
    json_object_set_new(data, "gaps", json_integer((json_int_t)report.gaps));
    json_object_set_new(data, "validation", json_boolean(validated));
    TRY(stand_in_lethality(d, log, (int32_t)recipe->temp_mc, data));
    bool overdue = log->overdue;
    *out_met = report.met && validated && !overdue;
    *out_reason = !report.met  ? hold_state_word(report.state)
                  : !validated ? "no-validation"
                  : overdue    ? "probe-overdue"
                               : "met";
    return RESULT_OK;
}

/* Constants that a named process authority signed for this seed: the conservative reduction has to
 * reach their target. */
static struct result judge_constants(struct draft *d, const char *item, const struct treat_log *log,
                                     json_t *data, bool *out_met, const char **out_reason)
{
    struct statement *q = store_prepare(d->store, Q_HEAT_CONSTANTS_FOR);
    store_bind_text(q, 1, item);
    store_bind_int(q, 2, d->cmd->happened_ms);
    bool row;
    TRY(store_step(q, &row));
    if (!row) {
        *out_met = false;
        *out_reason = "constants-not-signed";
        return stand_in_lethality(d, log, 0, data);
    }
    struct treatment_constants constants = {.reference_mc = (int32_t)store_int(q, 1),
                                            .z_mc = (int32_t)store_int(q, 2),
                                            .d_ms = store_int(q, 3),
                                            .has_tested_max = true,
                                            .tested_max_mc = (int32_t)store_int(q, 4),
                                            .limit_mc = (int32_t)store_int(q, 5),
                                            .cut_low = true,
                                            .gap = LETHALITY_GAP_ZERO,
                                            .window = LETHALITY_WINDOW_COME_UP_HOLD};
    int64_t target_milli = store_int(q, 6);
    json_object_set_new(data, "authority", json_string(store_text(q, 0)));
    json_object_set_new(data, "constants_entry", json_integer(store_int(q, 7)));
    while (row) {
        TRY(store_step(q, &row));
    }
    struct treatment_lethality out;
    TRY(treatment_lethality(d->arena, &log->mc, &constants, &out));
    json_object_set_new(data, "reduction_conservative_milli",
                        json_integer(out.reduction_conservative_milli));
    json_object_set_new(data, "reduction_target_milli", json_integer(target_milli));
    json_object_set_new(data, "f_conservative_ms", json_integer(out.f_conservative_ms));
    json_object_set_new(data, "reduction_shown", json_string(out.shown));
    put_shares(data, &out);
    bool gap = (out.flags & (LETHALITY_GAP | LETHALITY_NO_DATA)) != 0;
    *out_met = out.reduction_conservative_milli >= target_milli && !gap && !log->overdue;
    *out_reason = *out_met       ? "met"
                  : gap          ? "gap"
                  : log->overdue ? "probe-overdue"
                                 : "reduction-short";
    return RESULT_OK;
}

static struct result judge(struct draft *d, const char *way, const struct recipe *recipe,
                           const char *item, struct treat_log *log, json_t *data, bool *out_met,
                           const char **out_reason)
{
    if (strcmp(way, "supplier") == 0) {
        TRY(has_validation(d, "certificate", out_met));
        *out_reason = *out_met ? "met" : "no-certificate";
        return RESULT_OK;
    }
    TRY(treat_log_read(d, log));
    json_object_set_new(data, "points", json_integer((json_int_t)log->mc.points));
    json_object_set_new(data, "lost_points", json_integer((json_int_t)log->lost));
    if (recipe == NULL) {
        return judge_constants(d, item, log, data, out_met, out_reason);
    }
    return judge_recipe(d, recipe, log, data, out_met, out_reason);
}

static struct result read_recipe(struct draft *d, const char *way, const struct input *inputs,
                                 size_t count, const struct recipe **out)
{
    const char *name = NULL;
    *out = NULL;
    for (size_t i = 1; i < count;
         i++) { /* one filling of the treater is one item: another bean may need another heat */
        if (strcmp(inputs[i].lot.item, inputs[0].lot.item) != 0) {
            return FAIL2(FIELD_CHOICE, arena_printf(d->arena, "inputs[%zu].lot", i),
                         inputs[i].lot.code, inputs[0].lot.item);
        }
    }
    bool by_recipe = strcmp(way, "recipe") == 0;
    TRY(json_get_text(d->cmd->body, "recipe", "recipe", by_recipe ? JSON_NEEDED : JSON_OPTIONAL,
                      &name));
    if (!by_recipe) {
        return RESULT_OK;
    }
    *out = profile_recipe(d->profile, name);
    if (*out == NULL) {
        return FAIL1(RECIPE_UNKNOWN, "recipe", name);
    }
    for (size_t i = 0; i < count; i++) {
        if (!list_has((*out)->items, inputs[i].lot.item)) {
            return FAIL2(FIELD_CHOICE, "recipe", name,
                         arena_printf(d->arena, "the recipes for %s", inputs[i].lot.item));
        }
    }
    return RESULT_OK;
}

static struct result make_load(struct draft *d, const struct input *inputs, size_t count,
                               const struct place *place, int64_t start_ms, int64_t end_ms,
                               struct output *out)
{
    const char *code = NULL;
    TRY(json_get_text(d->cmd->body, "load", "load", JSON_OPTIONAL, &code));
    struct new_lot lot = {.code = code,
                          .item = inputs[0].lot.item,
                          .kind = "load",
                          .place = place->code,
                          .born_ms = start_ms,
                          .day = d->cmd->day,
                          .markets = inputs[0].lot.markets};
    TRY(draft_lot(d, &lot, &out->lot, &out->lot_code));
    out->amount =
        (struct amount){.unit = UNIT_MG, .value = inputs_total(inputs, count), .how = HOW_STANDARD};
    out->from_ms = start_ms;
    out->to_ms = end_ms;
    TRY(inputs_take(d, inputs, count));
    TRY(draft_move_lot(d, out->lot, out->lot_code, 1, &out->amount));
    struct run none = {0};
    TRY(edges_to_output(d, inputs, count, &none, out));
    int64_t step = draft_step(d, place->code, 0, start_ms, end_ms, out->lot, "");
    for (size_t i = 0; i < count; i++) {
        draft_step_lot(d, step, inputs[i].lot.id, "in", inputs[i].amount.value, start_ms, end_ms);
    }
    draft_step_lot(d, step, out->lot, "out", out->amount.value, start_ms, end_ms);
    return RESULT_OK;
}

struct result decide_treat(struct draft *d)
{
    static const char *const names[] = {"inputs",     "place",  "recipe", "way",    "load",
                                        "start",      "end",    "log",    "series", "probes",
                                        "cool_start", "papers", NULL};
    const char *way = "recipe", *reason = "";
    struct place place;
    struct input *inputs;
    size_t count;
    int64_t start_ms, end_ms;
    const struct recipe *recipe;
    struct output load = {0};
    struct treat_log log = {0};
    bool met = false;
    TRY(draft_only(d, "a heat treatment", names));
    TRY(json_get_text(d->cmd->body, "way", "way", JSON_OPTIONAL, &way));
    if (!list_has("recipe,constants,supplier", way)) {
        return FAIL2(FIELD_CHOICE, "way", way, "recipe, constants, supplier");
    }
    TRY(draft_read_span(d, &start_ms, &end_ms));
    TRY(place_named(d, "place", JSON_NEEDED, &place));
    TRY(inputs_read(d, start_ms, end_ms, &inputs, &count));
    TRY(read_recipe(d, way, inputs, count, &recipe));
    json_t *data = json_object();
    struct result r = judge(d, way, recipe, inputs[0].lot.item, &log, data, &met, &reason);
    const char *text = json_canonical(d->arena, data);
    json_object_set_new(d->answer, "treatment", data);
    TRY(r);
    TRY(make_load(d, inputs, count, &place, start_ms, end_ms, &load));
    draft_add(d, EFFECT_TREATMENT, "ittitti", load.lot, way, recipe != NULL ? recipe->name : "",
              (int64_t)met, reason, text, start_ms);
    TRY(treat_findings(d, load.lot, load.lot_code, place.code, &log,
                       recipe != NULL ? recipe->hold_ms : 0,
                       recipe != NULL ? recipe->interval_ms : 0));
    if (!met) {
        TRY(draft_break(d, "treatment-not-met", load.lot, place.code, start_ms, end_ms,
                        FAIL2(TREATMENT_NOT_MET, "log", load.lot_code, reason)));
    }
    json_object_set_new(d->answer, "lot", json_string(load.lot_code));
    json_object_set_new(d->answer, "met", json_boolean(met));
    json_object_set_new(d->answer, "reason", json_string(reason));
    return RESULT_OK;
}
