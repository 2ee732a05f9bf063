#include "ledger/promise.h"

#include <string.h>

#include "base/check.h"
#include "ledger/evidence.h"
#include "ledger/view.h"

enum { INSTEAD_MAX = 32 };

static struct result read_given(struct draft *d, const json_t *o, const char *path, json_t *list)
{
    static const char *const names[] = {"item", "pieces", NULL};
    const char *code = NULL, *item_path = arena_printf(d->arena, "%s.item", path);
    struct item item;
    bool found;
    int64_t pieces;
    size_t i;
    json_t *other;
    if (!json_is_object(o)) {
        return FAIL2(FIELD_TYPE, path, "an object", "something else");
    }
    TRY(json_only(o, path, "what is given instead", names));
    TRY(json_get_text(o, "item", item_path, JSON_NEEDED, &code));
    TRY(item_by_code(d->store, d->arena, code, &item, &found));
    if (!found || strcmp(item.kind, "packed") != 0) {
        return FAIL1(ITEM_UNKNOWN, item_path, code);
    }
    json_array_foreach(list, i, other)
    {
        if (strcmp(json_string_value(json_object_get(other, "item")), code) == 0) {
            return FAIL2(FIELD_RANGE, item_path, code, "named once only");
        }
    }
    TRY(json_get_int(o, "pieces", arena_printf(d->arena, "%s.pieces", path), JSON_NEEDED, 1,
                     100000000, &pieces));
    json_array_append_new(list, json_pack("{s:s,s:I}", "item", code, "pieces", (json_int_t)pieces));
    return RESULT_OK;
}

struct result promise_instead_read(struct draft *d, const json_t *o, const char *path, json_t **out)
{
    json_t *list = NULL;
    path = arena_printf(d->arena, "%s.instead", path);
    *out = NULL;
    TRY(json_get_array(o, "instead", path, JSON_OPTIONAL, &list));
    if (list == NULL) {
        return RESULT_OK;
    }
    if (json_array_size(list) > INSTEAD_MAX) {
        return FAIL2(FIELD_RANGE, path, "too long", "at most 32 items");
    }
    *out = json_array();
    struct result r = RESULT_OK;
    for (size_t i = 0; i < json_array_size(list) && r.code == CODE_OK; i++) {
        r = read_given(d, json_array_get(list, i), arena_printf(d->arena, "%s[%zu]", path, i),
                       *out);
    }
    if (r.code != CODE_OK) {
        json_decref(*out);
        *out = NULL;
    }
    return r;
}

/* Takes off what has left as that item. */
static struct result take_shipped(struct store *s, struct promised_instead *x)
{
    struct statement *q = store_prepare(s, Q_SHIPPED_AS);
    store_bind_text(q, 1, x->order);
    store_bind_text(q, 2, x->item);
    for (bool row = true; row;) {
        TRY(store_step(q, &row));
        x->pieces -= row ? store_int(q, 0) : 0;
    }
    return RESULT_OK;
}

static void add(struct arena *a, const char *order, const json_t *told,
                struct promised_instead **list, size_t *count)
{
    size_t i;
    json_t *o;
    json_array_foreach(json_object_get(told, "instead"), i, o)
    {
        struct promised_instead *x = evidence_grow(a, list, count, sizeof **list);
        *x = (struct promised_instead){
            .order = arena_copy(a, order),
            .item = arena_copy(a, json_string_value(json_object_get(o, "item"))),
            .pieces = json_integer_value(json_object_get(o, "pieces"))};
    }
}

struct result promised_instead_all(struct store *s, struct arena *a, int32_t from_day,
                                   struct promised_instead **out, size_t *out_count)
{
    struct promised_instead *list = NULL;
    size_t count = 0;
    struct statement *q = store_prepare(s, Q_PLANNING_PROMISED);
    store_bind_int(q, 1, from_day);
    for (bool row = true; row;) {
        json_t *told;
        TRY(store_step(q, &row));
        if (row && strstr(store_text(q, 1), "\"instead\"") != NULL) {
            TRY(json_read_stored(store_text(q, 1), &told));
            add(a, store_text(q, 0), told, &list, &count);
            json_decref(told);
        }
    }
    *out = list;
    *out_count = 0;
    for (size_t i = 0; i < count; i++) {
        TRY(take_shipped(s, &list[i]));
        if (list[i].pieces > 0) {
            list[(*out_count)++] = list[i];
        }
    }
    return RESULT_OK;
}

struct result promised_gives(struct store *s, const char *order, const char *item, bool *out)
{
    struct statement *q = store_prepare(s, Q_PROMISE_OF_ORDER);
    store_bind_text(q, 1, order);
    *out = false;
    for (bool row = true; row;) {
        json_t *told, *o;
        size_t i;
        TRY(store_step(q, &row));
        if (!row) {
            break;
        }
        TRY(json_read_stored(store_text(q, 0), &told));
        json_array_foreach(json_object_get(told, "instead"), i, o)
        {
            *out = *out || strcmp(json_string_value(json_object_get(o, "item")), item) == 0;
        }
        json_decref(told);
    }
    return RESULT_OK;
}
