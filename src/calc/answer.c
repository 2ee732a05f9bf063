#include "calc/answer.h"

#include <math.h>
#include <string.h>

#include "base/check.h"
#include "calc/constants.h"
#include "calc/whole.h"

#define COUNT_MAX 1e9

bool calc_has(const json_t *in, const char *name)
{
    return json_object_get(in, name) != NULL;
}

double calc_number(const json_t *in, const char *name)
{
    const json_t *value = json_object_get(in, name);
    CHECK(json_is_number(value));
    return json_number_value(value);
}

int64_t calc_integer(const json_t *in, const char *name)
{
    const json_t *value = json_object_get(in, name);
    CHECK(json_is_integer(value));
    return (int64_t)json_integer_value(value);
}

const char *calc_text(const json_t *in, const char *name)
{
    const json_t *value = json_object_get(in, name);
    CHECK(json_is_string(value));
    return json_string_value(value);
}

bool calc_yes(const json_t *in, const char *name)
{
    return strcmp(calc_text(in, name), "yes") == 0;
}

size_t calc_row_length(const json_t *in, const char *name)
{
    return json_array_size(json_array_get(json_object_get(in, name), 0));
}

double *calc_numbers(const json_t *in, const char *name, struct arena *a, size_t *out_count)
{
    const json_t *list = json_object_get(in, name);
    CHECK(json_is_array(list));
    size_t rows = json_array_size(list);
    size_t columns = calc_row_length(in, name);
    bool is_table = columns > 0;
    columns = is_table ? columns : 1;
    double *values = ARENA_ARRAY(a, double, rows *columns);
    for (size_t i = 0; i < rows; i++) {
        const json_t *row = json_array_get(list, i);
        for (size_t j = 0; j < columns; j++) {
            values[i * columns + j] = json_number_value(is_table ? json_array_get(row, j) : row);
        }
    }
    *out_count = rows * columns;
    return values;
}

size_t calc_choice(const json_t *in, const char *name, const char *const *words, size_t count)
{
    const char *text = calc_text(in, name);
    size_t i = 0;
    while (i < count && strcmp(words[i], text) != 0) {
        i++;
    }
    CHECK(i < count);
    return i;
}

struct result calc_table(const json_t *in, const char *name, struct arena *a, size_t columns,
                         const char *of_what, const double **out, size_t *out_rows)
{
    size_t count = 0, got = calc_row_length(in, name);
    *out = calc_numbers(in, name, a, &count);
    *out_rows = count / columns;
    return count == 0 || got == columns
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, name, arena_printf(a, "a table of %zu columns", got), of_what);
}

struct result calc_whole(struct arena *a, const char *name, size_t row, size_t column, double value,
                         int64_t *out)
{
    if (fabs(value) < COUNT_MAX && value == floor(value)) {
        *out = (int64_t)value;
        return RESULT_OK;
    }
    return FAIL2(FIELD_TYPE,
                 column == SIZE_MAX ? arena_printf(a, "%s[%zu]", name, row)
                                    : arena_printf(a, "%s[%zu][%zu]", name, row, column),
                 "a whole number", "another");
}

struct result calc_pairs(const json_t *in, const char *name, struct arena *a, double **out_x,
                         double **out_y, size_t *out_n)
{
    const double *values;
    TRY(calc_table(in, name, a, 2, "a table of two columns", &values, out_n));
    *out_x = ARENA_ARRAY(a, double, *out_n);
    *out_y = ARENA_ARRAY(a, double, *out_n);
    for (size_t i = 0; i < *out_n; i++) {
        (*out_x)[i] = values[2 * i];
        (*out_y)[i] = values[2 * i + 1];
    }
    return RESULT_OK;
}

static void put(struct calc_answer *out, const char *name, json_t *value)
{
    CHECK(value != NULL && json_object_set_new(out->results, name, value) == 0);
}

void calc_put_number(struct calc_answer *out, const char *name, double value)
{
    CHECK(isfinite(value));
    put(out, name, json_real(value));
}

void calc_put_end(struct calc_answer *out, const char *name, double value)
{
    if (isfinite(value)) {
        calc_put_number(out, name, value);
    } else {
        calc_put_text(out, name, "not determined");
    }
}

void calc_put_integer(struct calc_answer *out, const char *name, int64_t value)
{
    put(out, name, json_integer(value));
}

void calc_put_text(struct calc_answer *out, const char *name, const char *text)
{
    put(out, name, json_string(text));
}

void calc_put_numbers(struct calc_answer *out, const char *name, const double *values, size_t count)
{
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++) {
        CHECK(isfinite(values[i]));
        CHECK(json_array_append_new(list, json_real(values[i])) == 0);
    }
    put(out, name, list);
}

void calc_caution(struct calc_answer *out, const char *text)
{
    CHECK(json_array_append_new(out->cautions, json_string(text)) == 0);
}

void calc_used(struct calc_answer *out, const char *constant_name)
{
    CHECK(constant_find(constant_name) != NULL);
    CHECK(json_array_append_new(out->constants, json_string(constant_name)) == 0);
}

int64_t calc_scaled_down(double value, double scale)
{
    return whole_down(value * scale);
}

int64_t calc_scaled_up(double value, double scale)
{
    return whole_up(value * scale);
}

int64_t calc_scaled_near(double value, double scale)
{
    return whole_near(value * scale);
}
