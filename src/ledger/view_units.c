/* Cases and pallets named by code or by range. */
#include <string.h>

#include "base/check.h"
#include "ledger/view.h"

enum { UNITS_MAX = 4000 };

struct unit unit_row(struct statement *q, struct arena *a)
{
    const char *place = store_text(q, 4);
    return (struct unit){.id = store_int(q, 0),
                         .code = arena_copy(a, store_text(q, 1)),
                         .kind = arena_copy(a, store_text(q, 2)),
                         .state = arena_copy(a, store_text(q, 3)),
                         .place = place != NULL ? arena_copy(a, place) : NULL,
                         .parent = store_int(q, 5),
                         .lot = store_int(q, 6),
                         .pieces = store_int(q, 7),
                         .mg = store_int(q, 8),
                         .shipment = store_int(q, 9)};
}

struct result unit_by_code(struct store *s, struct arena *a, const char *code, struct unit *out,
                           bool *out_found)
{
    struct statement *q = store_prepare(s, Q_UNIT_BY_CODE);
    store_bind_text(q, 1, code);
    TRY(store_step(q, out_found));
    bool row = *out_found;
    if (row) {
        *out = unit_row(q, a);
    }
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

static struct result add_unit(struct draft *d, const char *code, const char *path, struct unit *out,
                              size_t *count)
{
    bool found;
    if (*count >= UNITS_MAX) {
        return FAIL2(FIELD_RANGE, path, "too many", "at most 4000 cases in one command");
    }
    TRY(unit_by_code(d->store, d->arena, code, &out[*count], &found));
    if (!found) {
        return FAIL1(UNIT_UNKNOWN, path, code);
    }
    for (size_t i = 0; i < *count; i++) {
        if (out[i].id == out[*count].id) {
            return FAIL2(FIELD_RANGE, path, code, "named once only");
        }
    }
    (*count)++;
    return RESULT_OK;
}

/* "X-0001..X-0040": the same letters, then digits of one width. */
static struct result add_range(struct draft *d, const char *text, const char *dots,
                               const char *path, struct unit *out, size_t *count)
{
    size_t first_len = (size_t)(dots - text);
    const char *last = dots + 2;
    size_t stem = first_len;
    while (stem > 0 && text[stem - 1] >= '0' && text[stem - 1] <= '9') {
        stem--;
    }
    size_t width = first_len - stem;
    if (width == 0 || width > 9 || strlen(last) != first_len || memcmp(text, last, stem) != 0) {
        return FAIL1(RANGE_BAD, path, text);
    }
    long from = 0, to = 0;
    for (size_t i = stem; i < first_len; i++) {
        if (last[i] < '0' || last[i] > '9') {
            return FAIL1(RANGE_BAD, path, text);
        }
        from = from * 10 + (text[i] - '0');
        to = to * 10 + (last[i] - '0');
    }
    if (to < from || to - from >= UNITS_MAX) {
        return FAIL1(RANGE_BAD, path, text);
    }
    for (long n = from; n <= to; n++) {
        TRY(add_unit(d, arena_printf(d->arena, "%.*s%0*ld", (int)stem, text, (int)width, n), path,
                     out, count));
    }
    return RESULT_OK;
}

struct result units_named(struct draft *d, const json_t *object, const char *key,
                          enum json_need need, struct unit **out, size_t *out_count)
{
    json_t *list = NULL;
    *out_count = 0;
    *out = NULL;
    TRY(json_get_array(object, key, key, need, &list));
    if (list == NULL) {
        return RESULT_OK;
    }
    *out = ARENA_ARRAY(d->arena, struct unit, UNITS_MAX + 1);
    size_t i;
    json_t *value;
    json_array_foreach(list, i, value)
    {
        const char *path = arena_printf(d->arena, "%s[%zu]", key, i);
        const char *text = json_string_value(value);
        if (text == NULL) {
            return FAIL2(FIELD_TYPE, path, "the code of a case", "something else");
        }
        const char *dots = strstr(text, "..");
        TRY(dots != NULL ? add_range(d, text, dots, path, *out, out_count)
                         : add_unit(d, text, path, *out, out_count));
    }
    return *out_count > 0 ? RESULT_OK : FAIL1(FIELD_MISSING, key, "Name at least one case.");
}
