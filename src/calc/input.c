#include "calc/input.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/check.h"

static const char *type_words(const json_t *value)
{
    switch (json_typeof(value)) {
    case JSON_OBJECT:
        return "an object";
    case JSON_ARRAY:
        return "a list";
    case JSON_STRING:
        return "a text";
    case JSON_INTEGER:
    case JSON_REAL:
        return "a number";
    case JSON_TRUE:
    case JSON_FALSE:
        return "true or false";
    case JSON_NULL:
        break;
    }
    return "empty";
}

static void range_print(const struct calc_field *field, char *out, size_t size)
{
    const char *unit = strcmp(field->unit, "1") == 0 ? "" : field->unit;
    const char *gap = *unit == '\0' ? "" : " ";
    if (isinf(field->low) && isinf(field->high)) {
        *out = '\0';
    } else if (isinf(field->high)) {
        snprintf(out, size, "%.10g%s%s or more", field->low, gap, unit);
    } else if (isinf(field->low)) {
        snprintf(out, size, "%.10g%s%s or less", field->high, gap, unit);
    } else {
        snprintf(out, size, "from %.10g to %.10g%s%s", field->low, field->high, gap, unit);
    }
}

const char *calc_range_words(const struct calc_field *field, struct arena *a)
{
    char text[100];
    if (field->type == CALC_TEXT || field->type == CALC_TABLE) {
        return "";
    }
    range_print(field, text, sizeof text);
    return arena_copy(a, text);
}

/* A JSON value is never infinite or NaN; the library makes none. */
static struct result number_check(const struct calc_field *field, const char *path,
                                  const json_t *value)
{
    bool whole = field->type == CALC_INTEGER;
    if (whole ? !json_is_integer(value) : !json_is_number(value)) {
        return FAIL2(FIELD_TYPE, path, whole ? "a whole number" : "a number", type_words(value));
    }
    double number = json_number_value(value);
    if (number < field->low || number > field->high) {
        char text[40], range[100];
        snprintf(text, sizeof text, "%.10g", number);
        range_print(field, range, sizeof range);
        return FAIL2(FIELD_RANGE, path, text, range);
    }
    return RESULT_OK;
}

/* Is text one of "a|b|c"? */
static bool is_choice(const char *choices, const char *text)
{
    size_t len = strlen(text);
    for (const char *c = choices; *c != '\0';) {
        size_t item = strcspn(c, "|");
        if (item == len && strncmp(c, text, len) == 0) {
            return true;
        }
        c += item + (c[item] == '|');
    }
    return false;
}

static struct result text_check(const struct calc_field *field, const json_t *value)
{
    if (!json_is_string(value)) {
        return FAIL2(FIELD_TYPE, field->name, "a text", type_words(value));
    }
    const char *text = json_string_value(value);
    if (field->choices == NULL || is_choice(field->choices, text)) {
        return RESULT_OK;
    }
    char words[120];
    size_t n = 0;
    for (const char *c = field->choices; *c != '\0' && n + 3 < sizeof words; c++) {
        words[n++] = *c == '|' ? ',' : *c;
        if (*c == '|') {
            words[n++] = ' ';
        }
    }
    words[n] = '\0';
    return FAIL2(FIELD_CHOICE, field->name, text, words);
}

static struct result count_check(const struct calc_field *field, const json_t *value)
{
    if (!json_is_array(value)) {
        return FAIL2(FIELD_TYPE, field->name, "a list", type_words(value));
    }
    size_t count = json_array_size(value);
    if (count >= field->count_low && count <= field->count_high) {
        return RESULT_OK;
    }
    char text[40], range[80];
    snprintf(text, sizeof text, "a list of %zu", count);
    snprintf(range, sizeof range, "a list of %zu to %zu", field->count_low, field->count_high);
    return FAIL2(FIELD_RANGE, field->name, text, range);
}

static struct result list_check(const struct calc_field *field, const json_t *value)
{
    TRY(count_check(field, value));
    for (size_t i = 0; i < json_array_size(value); i++) {
        char path[64];
        snprintf(path, sizeof path, "%.40s[%zu]", field->name, i);
        TRY(number_check(field, path, json_array_get(value, i)));
    }
    return RESULT_OK;
}

static struct result row_check(const struct calc_field *field, size_t i, const json_t *row,
                               size_t columns)
{
    char path[100], text[40], range[80];
    snprintf(path, sizeof path, "%.30s[%zu]", field->name, i);
    if (!json_is_array(row)) {
        return FAIL2(FIELD_TYPE, path, "a list of numbers", type_words(row));
    }
    size_t count = json_array_size(row);
    if (count != columns || count < 2) {
        snprintf(text, sizeof text, "a list of %zu", count);
        snprintf(range, sizeof range, "a list of %zu, as the first one", columns < 2 ? 2 : columns);
        return FAIL2(FIELD_RANGE, path, text, range);
    }
    for (size_t j = 0; j < count; j++) {
        const json_t *value = json_array_get(row, j);
        if (!json_is_number(value)) {
            snprintf(path, sizeof path, "%.30s[%zu][%zu]", field->name, i, j);
            return FAIL2(FIELD_TYPE, path, "a number", type_words(value));
        }
    }
    return RESULT_OK;
}

static struct result table_check(const struct calc_field *field, const json_t *value)
{
    TRY(count_check(field, value));
    size_t columns = json_array_size(json_array_get(value, 0));
    for (size_t i = 0; i < json_array_size(value); i++) {
        TRY(row_check(field, i, json_array_get(value, i), columns));
    }
    return RESULT_OK;
}

static struct result field_check(const struct calc_field *field, const json_t *value)
{
    switch (field->type) {
    case CALC_NUMBER:
    case CALC_INTEGER:
        return number_check(field, field->name, value);
    case CALC_TEXT:
        return text_check(field, value);
    case CALC_LIST:
        return list_check(field, value);
    case CALC_TABLE:
        break;
    }
    return table_check(field, value);
}

static struct result names_check(const struct calc_row *row, const json_t *in)
{
    const char *key;
    json_t *value;
    json_object_foreach((json_t *)(uintptr_t)in, key, value)
    {
        size_t i = 0;
        while (i < row->in_count && strcmp(row->in[i].name, key) != 0) {
            i++;
        }
        if (i == row->in_count) {
            return FAIL1(FIELD_UNKNOWN, key, row->name);
        }
    }
    return RESULT_OK;
}

static struct result fields_take(const struct calc_row *row, const json_t *in, json_t *full)
{
    for (size_t i = 0; i < row->in_count; i++) {
        const struct calc_field *field = &row->in[i];
        json_t *value = json_object_get(in, field->name);
        if (value != NULL && !json_is_null(value)) {
            TRY(field_check(field, value));
            CHECK(json_object_set(full, field->name, value) == 0);
        } else if (field->fallback != NULL) {
            json_t *fallback = json_loads(field->fallback, JSON_DECODE_ANY, NULL);
            CHECK(fallback != NULL);
            CHECK(json_object_set_new(full, field->name, fallback) == 0);
        } else if (field->needed) {
            return FAIL1(FIELD_MISSING, field->name, field->what);
        }
    }
    return RESULT_OK;
}

struct result calc_input_check(const struct calc_row *row, const json_t *in, json_t **out)
{
    *out = NULL;
    if (in != NULL && !json_is_object(in)) {
        return FAIL2(FIELD_TYPE, "The input", "an object of fields", type_words(in));
    }
    TRY(names_check(row, in));
    json_t *full = json_object();
    struct result r = fields_take(row, in, full);
    if (r.code != CODE_OK) {
        json_decref(full);
        return r;
    }
    *out = full;
    return RESULT_OK;
}
