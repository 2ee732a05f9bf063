/* What a form of the Work-it-out page may send. The first byte chooses the calculation. What
 * follows is read as JSON if it begins with a brace; otherwise its bytes fill in the row's own
 * fields, within their ranges and just at their ends. Either way the answer is a refusal that names
 * something, or results that the row describes, each number of them finite. */
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/check.h"
#include "calc/registry.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { JSON_MOST = 1 << 16, ITEMS_MORE = 6 };

struct bytes {
    const uint8_t *at;
    size_t left;
};

static unsigned take(struct bytes *b)
{
    if (b->left == 0) {
        return 0;
    }
    b->left--;
    return *b->at++;
}

static double between(struct bytes *b, double low, double high)
{
    double share = (take(b) * 256 + take(b)) / 65535.0;
    low = fmax(low, -1e300);
    high = fmin(high, 1e300);
    return low > 0 && high / low > 1000 ? low * pow(high / low, share) : low + share * (high - low);
}

static double any_number(struct bytes *b, double low, double high)
{
    switch (take(b) % 4) {
    case 0:
        return fmax(low, -1e300);
    case 1:
        return fmin(high, 1e300);
    default:
        return fmin(fmax(between(b, low, high), low), high);
    }
}

/* A cell of a table, which has no range: a small whole number or one of any size. */
static double any_cell(struct bytes *b)
{
    unsigned kind = take(b);
    if (kind % 2 == 0) {
        return (double)(kind / 2 % 16);
    }
    double value = pow(10, (double)(take(b) % 33) - 16) * (1 + take(b));
    return kind % 8 == 1 ? -value : value;
}

static json_t *any_text(struct bytes *b, const char *choices)
{
    unsigned skip = take(b) % 16;
    while (choices != NULL && skip-- > 0 && strchr(choices, '|') != NULL) {
        choices = strchr(choices, '|') + 1;
    }
    return choices == NULL ? json_string("x") : json_stringn(choices, strcspn(choices, "|"));
}

static json_t *any_list(struct bytes *b, const struct calc_field *field)
{
    json_t *list = json_array();
    size_t count = field->count_low + take(b) % ITEMS_MORE;
    for (size_t i = 0; i < count && i < field->count_high; i++) {
        double value = any_number(b, field->low, field->high);
        json_array_append_new(list, take(b) % 4 == 0
                                        ? json_integer((json_int_t)fmax(fmin(value, 9e15), -9e15))
                                        : json_real(value));
    }
    return list;
}

static json_t *any_table(struct bytes *b, const struct calc_field *field, const json_t *example)
{
    size_t columns = json_array_size(json_array_get(example, 0));
    columns = columns < 2 ? 2 : columns;
    json_t *table = json_array();
    size_t count = field->count_low + take(b) % ITEMS_MORE;
    for (size_t i = 0; i < count && i < field->count_high; i++) {
        json_t *row = json_array();
        const json_t *shown = json_array_get(example, i);
        for (size_t j = 0; j < columns; j++) {
            json_t *cell = json_array_get(shown, j);
            json_array_append_new(row, cell != NULL && take(b) % 2 == 0 ? json_copy(cell)
                                                                        : json_real(any_cell(b)));
        }
        json_array_append_new(table, row);
    }
    return table;
}

static json_t *any_value(struct bytes *b, const struct calc_field *field, json_t *example)
{
    unsigned kind = take(b) % 8;
    if (kind == 0 && !field->needed) {
        return NULL;
    }
    if (kind < 4 && example != NULL) {
        return json_deep_copy(example);
    }
    switch (field->type) {
    case CALC_NUMBER:
        return json_real(any_number(b, field->low, field->high));
    case CALC_INTEGER:
        return json_integer(
            (json_int_t)any_number(b, fmax(field->low, -9e15), fmin(field->high, 9e15)));
    case CALC_TEXT:
        return any_text(b, field->choices);
    case CALC_LIST:
        return any_list(b, field);
    case CALC_TABLE:
        break;
    }
    return any_table(b, field, example);
}

static json_t *any_form(struct bytes *b, const struct calc_row *row)
{
    json_t *form = json_object();
    json_t *example = json_loads(row->example, 0, NULL);
    for (size_t i = 0; i < row->in_count; i++) {
        json_t *value = any_value(b, &row->in[i], json_object_get(example, row->in[i].name));
        if (value != NULL) {
            CHECK(json_object_set_new(form, row->in[i].name, value) == 0);
        }
    }
    json_decref(example);
    return form;
}

static void check_result(const json_t *value)
{
    CHECK(json_is_number(value) || json_is_string(value) || json_is_array(value));
    CHECK(!json_is_number(value) || isfinite(json_number_value(value)));
    for (size_t i = 0; i < json_array_size(value); i++) {
        check_result(json_array_get(value, i));
    }
}

static void check_answer(json_t *answer)
{
    static const char *const parts[] = {"results", "unrounded"};
    for (size_t i = 0; i < 2; i++) {
        const char *name;
        json_t *value;
        json_object_foreach(json_object_get(answer, parts[i]), name, value)
        {
            check_result(value);
        }
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size == 0 || size > JSON_MOST) {
        return 0;
    }
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    const struct calc_row *row = registry_at(data[0] % registry_count());
    struct bytes b = {data + 1, size - 1};
    json_t *in = NULL, *answer = NULL;
    if (b.left > 0 && *b.at == '{') {
        if (json_read((const char *)b.at, b.left, JSON_MOST, &in).code != CODE_OK) {
            in = NULL;
        }
    } else {
        in = any_form(&b, row);
    }
    if (in != NULL) {
        struct result r = registry_call(row->name, in, &a, &answer);
        CHECK((r.code == CODE_OK) == (answer != NULL));
        CHECK(r.code == CODE_OK || r.field[0] != '\0');
        check_answer(answer);
    }
    json_decref(in);
    json_decref(answer);
    arena_release(&a);
    return 0;
}
