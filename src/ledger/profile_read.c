/* Small readers for the parts of a profile. */
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/decimal.h"
#include "ledger/profile_inner.h"

const char *path_join(struct profile *p, const char *path, const char *key)
{
    return path[0] == '\0' ? key : arena_printf(&p->arena, "%s.%s", path, key);
}

static void join(char out[96], const char *path, const char *key)
{
    size_t n = strlen(path);
    CHECK(n + strlen(key) + 2 <= 96);
    memcpy(out, path, n);
    if (n > 0) {
        out[n++] = '.';
    }
    memcpy(out + n, key, strlen(key) + 1);
}

struct result profile_text(struct profile *p, const json_t *o, const char *path, const char *key,
                           enum json_need need, const char **out)
{
    char field[96];
    const char *text = NULL;
    join(field, path, key);
    TRY(json_get_text(o, key, field, need, &text));
    if (text != NULL) {
        *out = arena_copy(&p->arena, text);
    }
    return RESULT_OK;
}

struct result profile_list(struct profile *p, const json_t *o, const char *path, const char *key,
                           enum json_need need, const char **out)
{
    char field[96];
    json_t *array = NULL;
    join(field, path, key);
    *out = "";
    TRY(json_get_array(o, key, field, need, &array));
    size_t i;
    json_t *value;
    json_array_foreach(array, i, value)
    {
        const char *text = json_string_value(value);
        if (text == NULL || text[0] == '\0' || strlen(text) > 60 || strchr(text, ',') != NULL) {
            return FAIL1(PROFILE_BAD, field,
                         "a list of short texts without commas is wanted here.");
        }
        *out = i == 0 ? arena_copy(&p->arena, text) : arena_printf(&p->arena, "%s,%s", *out, text);
    }
    return RESULT_OK;
}

struct result profile_weekdays(struct profile *p, const json_t *o, const char *path,
                               const char *key, enum json_need need, unsigned *out)
{
    const char *list = "";
    char word[64];
    *out = 0;
    TRY(profile_list(p, o, path, key, need, &list));
    for (const char *at = list; list_next(&at, word, sizeof word);) {
        int day = weekday_named(word);
        if (day < 0) {
            return FAIL2(FIELD_CHOICE, path_join(p, path, key), word, WEEKDAY_NAMES);
        }
        *out |= 1U << day;
    }
    return *out != 0 || json_object_get(o, key) == NULL
               ? RESULT_OK
               : FAIL1(PROFILE_BAD, path_join(p, path, key), "it is one day of the week at least.");
}

struct result profile_bool(const json_t *o, const char *path, const char *key, bool *out)
{
    char field[96];
    join(field, path, key);
    return json_get_bool(o, key, field, JSON_OPTIONAL, out);
}

/* The readers of base/decimal.h all take (text, field, out). */
typedef struct result quantity_fn(const char *text, const char *field, int64_t *out);

static struct result quantity(const json_t *o, const char *path, const char *key,
                              enum json_need need, quantity_fn *read, int64_t *out)
{
    char field[96];
    const char *text = NULL;
    join(field, path, key);
    TRY(json_get_text(o, key, field, need, &text));
    return text != NULL ? read(text, field, out) : RESULT_OK;
}

struct result profile_duration(const json_t *o, const char *path, const char *key,
                               enum json_need need, int64_t *out_ms)
{
    return quantity(o, path, key, need, duration_read, out_ms);
}

struct result profile_percent(const json_t *o, const char *path, const char *key,
                              enum json_need need, int64_t *out_ppm)
{
    return quantity(o, path, key, need, percent_read, out_ppm);
}

struct result profile_temp(const json_t *o, const char *path, const char *key, enum json_need need,
                           int64_t *out_mc)
{
    return quantity(o, path, key, need, temp_read, out_mc);
}

struct result profile_mass(const json_t *o, const char *path, const char *key, enum json_need need,
                           int64_t *out_mg)
{
    return quantity(o, path, key, need, mass_read, out_mg);
}

struct result profile_decimal(const json_t *o, const char *path, const char *key,
                              enum json_need need, int64_t *out, bool *out_given)
{
    char field[96];
    const char *text = NULL;
    join(field, path, key);
    TRY(json_get_text(o, key, field, need, &text));
    *out_given = text != NULL;
    return text != NULL ? decimal_read(text, 3, field, out) : RESULT_OK;
}

struct result profile_source(struct profile *p, const json_t *o, const char *path, const char *key,
                             enum json_need need, const struct source **out)
{
    char field[96];
    const char *name = NULL;
    join(field, path, key);
    TRY(json_get_text(o, key, field, need, &name));
    if (name == NULL) {
        return RESULT_OK;
    }
    for (size_t i = 0; i < p->source_count; i++) {
        if (strcmp(p->sources[i].key, name) == 0) {
            *out = &p->sources[i];
            return RESULT_OK;
        }
    }
    return FAIL1(PROFILE_BAD, field, "this source is not listed under sources.");
}

struct result profile_each(struct profile *p, const json_t *root, const char *parent,
                           const char *key, size_t size, fill_fn *fill, void *out_array,
                           size_t *out_count)
{
    char field[96];
    json_t *array = NULL;
    join(field, parent, key);
    TRY(json_get_array(root, key, field, JSON_NEEDED, &array));
    size_t count = json_array_size(array);
    unsigned char *elements = arena_array(&p->arena, count > 0 ? count : 1, size);
    for (size_t i = 0; i < count; i++) {
        const json_t *o = json_array_get(array, i);
        const char *path = arena_printf(&p->arena, "%s[%zu]", field, i);
        if (!json_is_object(o)) {
            return FAIL1(PROFILE_BAD, path, "an object is wanted here.");
        }
        *(void **)out_array = elements;
        *out_count = i; /* what is filled so far may be looked up by what follows */
        TRY(fill(p, o, path, elements + i * size));
    }
    *(void **)out_array = elements;
    *out_count = count;
    return RESULT_OK;
}
