#include "service/change_reader.h"

#include <string.h>

#include "base/civil.h"

const char *change_field(const struct change *x, const char *key)
{
    return arena_printf(x->arena, "%s.%s", x->path, key);
}

struct result change_int(const struct change *x, const char *key, int64_t low, int64_t high,
                         int64_t *out)
{
    return json_get_int(x->o, key, change_field(x, key), JSON_NEEDED, low, high, out);
}

struct result change_text(const struct change *x, const char *key, const char **out)
{
    return json_get_text(x->o, key, change_field(x, key), JSON_NEEDED, out);
}

struct result change_optional(const struct change *x, const char *key, const char **out)
{
    return json_get_text(x->o, key, change_field(x, key), JSON_OPTIONAL, out);
}

struct result change_day_or(const struct change *x, const char *key, int otherwise, int *out)
{
    const char *text = NULL;
    int32_t day;
    *out = otherwise;
    TRY(change_optional(x, key, &text));
    if (text != NULL) {
        TRY(day_read(text, change_field(x, key), &day));
        *out = day - x->first_day;
    }
    return RESULT_OK;
}

struct result change_day(const struct change *x, const char *key, int *out)
{
    const char *text;
    TRY(change_text(x, key, &text));
    TRY(change_day_or(x, key, 0, out));
    return *out >= 0 && *out < x->day_count
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, change_field(x, key), "another day", "a day of the plan");
}

static const char *code_of(const struct change_list *list, int at)
{
    const char *code;
    memcpy(&code, (const char *)list->first + (size_t)at * list->size, sizeof code);
    return code;
}

int change_find(const struct change_list *list, const char *code)
{
    int at = 0;
    while (at < list->count && strcmp(code_of(list, at), code) != 0) {
        at++;
    }
    return at;
}

struct result change_named(const struct change *x, const char *key, const struct change_list *list,
                           int *out)
{
    const char *code, *codes = NULL;
    TRY(change_text(x, key, &code));
    *out = change_find(list, code);
    if (*out < list->count) {
        return RESULT_OK;
    }
    for (int i = 0; list->unknown == CODE_FIELD_CHOICE && i < list->count; i++) {
        const char *next = code_of(list, i);
        codes = codes == NULL ? next : arena_printf(x->arena, "%s, %s", codes, next);
    }
    return result_make(list->unknown, change_field(x, key), code, codes, NULL);
}

void *change_copy(struct arena *a, const void *list, int count, int more, size_t size)
{
    char *copy = arena_array(a, (size_t)(count + more) + 1, size);
    if (count > 0) {
        memcpy(copy, list, (size_t)count * size);
    }
    return copy;
}

static struct result make(const struct change *x, const struct change_kinds *kinds, int stage,
                          void *self)
{
    int at;
    if (!json_is_object(x->o)) {
        return FAIL2(FIELD_TYPE, x->path, "an object", "something else");
    }
    TRY(change_named(x, "what", CHANGE_LIST(kinds->list, kinds->count, FIELD_CHOICE), &at));
    const struct change_kind *kind = &kinds->list[at];
    TRY(json_only(x->o, x->path, "a change", kind->names));
    return kind->stage == stage ? kind->make(x, self) : RESULT_OK;
}

struct result change_each(const struct change *at, const json_t *changes,
                          const struct change_kinds *kinds, int stage, void *self)
{
    for (size_t i = 0; i < json_array_size(changes); i++) {
        struct change x = *at;
        x.o = json_array_get(changes, i);
        x.path = arena_printf(x.arena, "changes[%zu]", i);
        TRY(make(&x, kinds, stage, self));
    }
    return RESULT_OK;
}
