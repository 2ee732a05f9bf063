#include "calc/registry.h"

#include <math.h>
#include <string.h>

#include "base/check.h"
#include "base/words.h"
#include "calc/constants.h"
#include "calc/growth/rows.h"
#include "calc/heat/rows.h"
#include "calc/input.h"
#include "calc/microbe/rows.h"
#include "calc/water/rows.h"

struct discipline {
    const struct calc_row *rows;
    const size_t *count;
};

static const struct discipline disciplines[] = {
    {heat_rows, &heat_row_count},
    {heat_cold_rows, &heat_cold_row_count},
    {heat_sensor_rows, &heat_sensor_row_count},
    {heat_value_rows, &heat_value_row_count},
    {heat_resistance_rows, &heat_resistance_row_count},
    {heat_regress_rows, &heat_regress_row_count},
    {heat_survival_rows, &heat_survival_row_count},
    {heat_bean_rows, &heat_bean_row_count},
    {heat_seed_rows, &heat_seed_row_count},
    {heat_juice_rows, &heat_juice_row_count},
    {growth_seed_rows, &growth_seed_row_count},
    {growth_bed_rows, &growth_bed_row_count},
    {microbe_detect_rows, &microbe_detect_row_count},
    {microbe_count_rows, &microbe_count_row_count},
    {microbe_plan_rows, &microbe_plan_row_count},
    {microbe_lot_rows, &microbe_lot_row_count},
    {water_ct_rows, &water_ct_row_count},
    {water_loop_rows, &water_loop_row_count},
    {water_dose_rows, &water_dose_row_count},
    {water_check_rows, &water_check_row_count},
};

size_t registry_count(void)
{
    size_t count = 0;
    for (size_t i = 0; i < CALC_COUNT(disciplines); i++) {
        count += *disciplines[i].count;
    }
    return count;
}

const struct calc_row *registry_at(size_t index)
{
    CHECK(index < registry_count());
    size_t i = 0;
    while (index >= *disciplines[i].count) {
        index -= *disciplines[i].count;
        i++;
    }
    return &disciplines[i].rows[index];
}

const struct calc_row *registry_find(const char *name)
{
    for (size_t i = 0; i < registry_count(); i++) {
        if (strcmp(registry_at(i)->name, name) == 0) {
            return registry_at(i);
        }
    }
    return NULL;
}

static void put(json_t *object, const char *key, json_t *value)
{
    CHECK(value != NULL && json_object_set_new(object, key, value) == 0);
}

static json_t *constant_json(const struct constant *c)
{
    json_t *out = json_object();
    put(out, "name", json_string(c->name));
    put(out, "value", json_real(c->value));
    put(out, "unit", json_string(c->unit));
    if (c->has_range) {
        put(out, "low", json_real(c->low));
        put(out, "high", json_real(c->high));
    }
    put(out, "source", json_string(c->source));
    put(out, "locator", json_string(c->locator));
    put(out, "word", json_string(c->word));
    return out;
}

static json_t *constants_json(const struct calc_row *row, const json_t *further)
{
    json_t *out = json_array();
    for (size_t i = 0; row->constants[i] != NULL; i++) {
        const struct constant *c = constant_find(row->constants[i]);
        CHECK(c != NULL);
        CHECK(json_array_append_new(out, constant_json(c)) == 0);
    }
    for (size_t i = 0; i < json_array_size(further); i++) {
        const char *name = json_string_value(json_array_get(further, i));
        CHECK(json_array_append_new(out, constant_json(constant_find(name))) == 0);
    }
    return out;
}

static json_t *sources_json(const struct calc_row *row)
{
    json_t *out = json_array();
    for (size_t i = 0; i < row->source_count; i++) {
        json_t *source = json_object();
        put(source, "source", json_string(row->sources[i].text));
        put(source, "word", json_string(row->sources[i].word));
        CHECK(json_array_append_new(out, source) == 0);
    }
    return out;
}

/* First what this input calls for, then what always holds. */
static json_t *cautions_json(const struct calc_row *row, const json_t *now)
{
    json_t *out = json_copy((json_t *)(uintptr_t)now);
    for (size_t i = 0; row->cautions[i] != NULL; i++) {
        CHECK(json_array_append_new(out, json_string(row->cautions[i])) == 0);
    }
    return out;
}

static double rounded(const struct calc_output *output, double value)
{
    double steps = value / output->step;
    double whole = output->round == CALC_DOWN ? floor(steps) : ceil(steps);
    /* Multiplying by a tenth would leave 0.30000000000000004. */
    double per_unit = round(1 / output->step);
    double out = per_unit > 1 ? whole / per_unit : whole * output->step;
    return output->cap > 0 && out > output->cap ? output->cap : out;
}

const char *registry_rounding(const struct calc_output *output, const char *lang, struct arena *a)
{
    const char *unit = strcmp(output->unit, "1") == 0 ? "" : output->unit;
    const char *step = arena_printf(a, "%.6g%s%s", output->step, *unit == '\0' ? "" : " ", unit);
    const char *text = output->round == CALC_DOWN ? WORDS(a, lang, "calc.rounded.down", step)
                                                  : WORDS(a, lang, "calc.rounded.up", step);
    return output->cap > 0
               ? WORDS(a, lang, "calc.rounded.cap", text, arena_printf(a, "%.6g", output->cap))
               : text;
}

static void results_round(const struct calc_row *row, json_t *results, struct arena *a,
                          json_t *answer)
{
    json_t *unrounded = json_object();
    json_t *rounding = json_object();
    for (size_t i = 0; i < row->out_count; i++) {
        const struct calc_output *output = &row->out[i];
        const json_t *value = json_object_get(results, output->name);
        if (output->round == CALC_AS_IT_IS || !json_is_number(value)) {
            continue;
        }
        double exact = json_number_value(value);
        put(unrounded, output->name, json_real(exact));
        put(rounding, output->name, json_string(registry_rounding(output, "en", a)));
        put(results, output->name, json_real(rounded(output, exact)));
    }
    put(answer, "unrounded", unrounded);
    put(answer, "rounding", rounding);
}

/* A row must not give what it does not describe. */
static void results_check(const struct calc_row *row, const json_t *results)
{
    const char *key;
    json_t *value;
    json_object_foreach((json_t *)(uintptr_t)results, key, value)
    {
        size_t i = 0;
        while (i < row->out_count && strcmp(row->out[i].name, key) != 0) {
            i++;
        }
        CHECK(i < row->out_count);
    }
}

struct result registry_call(const char *name, const json_t *in, struct arena *a, json_t **out)
{
    *out = NULL;
    const struct calc_row *row = registry_find(name);
    if (row == NULL) {
        return FAIL1(CALC_UNKNOWN, "calculation", name);
    }
    json_t *full;
    TRY(calc_input_check(row, in, &full));
    struct calc_answer got = {
        .results = json_object(), .cautions = json_array(), .constants = json_array()};
    struct result r = row->run(full, a, &got);
    if (r.code == CODE_OK) {
        json_t *answer = json_object();
        results_check(row, got.results);
        put(answer, "calculation", json_string(row->name));
        put(answer, "purpose", json_string(row->purpose));
        put(answer, "formula", json_string(row->formula));
        put(answer, "inputs", json_incref(full));
        results_round(row, got.results, a, answer);
        put(answer, "results", json_incref(got.results));
        put(answer, "constants", constants_json(row, got.constants));
        put(answer, "sources", sources_json(row));
        put(answer, "cautions", cautions_json(row, got.cautions));
        *out = answer;
    }
    json_decref(full);
    json_decref(got.results);
    json_decref(got.cautions);
    json_decref(got.constants);
    return r;
}

static const char *type_word(enum calc_type type)
{
    static const char *const words[] = {"number", "integer", "text", "list", "table"};
    return words[type];
}

static json_t *field_json(const struct calc_field *field)
{
    json_t *out = json_object();
    put(out, "name", json_string(field->name));
    put(out, "unit", json_string(field->unit));
    put(out, "what", json_string(field->what));
    put(out, "type", json_string(type_word(field->type)));
    put(out, "needed", json_boolean(field->needed));
    bool ranged = field->type != CALC_TEXT && field->type != CALC_TABLE;
    if (ranged && isfinite(field->low)) {
        put(out, "low", json_real(field->low));
    }
    if (ranged && isfinite(field->high)) {
        put(out, "high", json_real(field->high));
    }
    if (field->choices != NULL) {
        json_t *choices = json_array();
        for (const char *c = field->choices; *c != '\0';) {
            size_t len = strcspn(c, "|");
            CHECK(json_array_append_new(choices, json_stringn(c, len)) == 0);
            c += len + (c[len] == '|');
        }
        put(out, "choices", choices);
    }
    if (field->fallback != NULL) {
        put(out, "default", json_loads(field->fallback, JSON_DECODE_ANY, NULL));
    }
    if (field->count_high > 0) {
        put(out, "count_low", json_integer((json_int_t)field->count_low));
        put(out, "count_high", json_integer((json_int_t)field->count_high));
    }
    return out;
}

static json_t *output_json(const struct calc_output *output, struct arena *a)
{
    json_t *out = json_object();
    put(out, "name", json_string(output->name));
    put(out, "unit", json_string(output->unit));
    put(out, "what", json_string(output->what));
    if (output->round != CALC_AS_IT_IS) {
        put(out, "rounding", json_string(registry_rounding(output, "en", a)));
    }
    return out;
}

json_t *registry_row_json(const struct calc_row *row, struct arena *a)
{
    json_t *out = json_object();
    json_t *fields = json_array();
    json_t *outputs = json_array();
    json_t *none = json_array();
    put(out, "name", json_string(row->name));
    put(out, "discipline", json_string(row->discipline));
    put(out, "purpose", json_string(row->purpose));
    put(out, "formula", json_string(row->formula));
    for (size_t i = 0; i < row->in_count; i++) {
        CHECK(json_array_append_new(fields, field_json(&row->in[i])) == 0);
    }
    for (size_t i = 0; i < row->out_count; i++) {
        CHECK(json_array_append_new(outputs, output_json(&row->out[i], a)) == 0);
    }
    put(out, "in", fields);
    put(out, "out", outputs);
    put(out, "sources", sources_json(row));
    put(out, "constants", constants_json(row, none));
    put(out, "cautions", cautions_json(row, none));
    put(out, "example", json_loads(row->example, 0, NULL));
    json_decref(none);
    return out;
}
