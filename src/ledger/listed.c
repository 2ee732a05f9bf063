#include "ledger/listed.h"

#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "ledger/profile.h"

/* Columns of listed_one and listed_all. */
static struct result listed_row(struct statement *q, struct arena *a, struct listed *out)
{
    const char *place = store_text(q, 1), *about = store_text(q, 2);
    *out = (struct listed){.code = arena_copy(a, store_text(q, 0)),
                           .place = place != NULL ? arena_copy(a, place) : NULL,
                           .about = about != NULL ? arena_copy(a, about) : NULL,
                           .until_ms = store_int(q, 3),
                           .active = store_int(q, 4) != 0,
                           .at_ms = store_int(q, 5),
                           .entry = store_int(q, 7)};
    return json_read_stored(store_text(q, 6), &out->data);
}

struct result listed_one(struct store *s, struct arena *a, const char *kind, const char *code,
                         struct listed *out, bool *out_found)
{
    struct statement *q = store_prepare(s, Q_LISTED_ONE);
    store_bind_text(q, 1, kind);
    store_bind_text(q, 2, code);
    TRY(store_step(q, out_found));
    struct result r = RESULT_OK;
    if (*out_found) {
        r = listed_row(q, a, out);
    }
    store_done(q);
    return r;
}

struct result listed_all(struct store *s, struct arena *a, const char *kind, struct listed **out,
                         size_t *out_count)
{
    struct statement *q = store_prepare(s, Q_LISTED_ALL);
    store_bind_text(q, 1, kind);
    size_t room = 0;
    *out = NULL;
    *out_count = 0;
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (*out_count == room) {
            room = room != 0 ? room * 2 : 32;
            struct listed *more = ARENA_ARRAY(a, struct listed, room);
            if (*out_count > 0) {
                memcpy(more, *out, *out_count * sizeof *more);
            }
            *out = more;
        }
        TRY(listed_row(q, a, &(*out)[*out_count]));
        (*out_count)++;
    }
}

void listed_free(struct listed *list, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        json_decref(list[i].data);
        list[i].data = NULL;
    }
}

const char *listed_text(const struct listed *l, const char *key)
{
    return json_string_value(json_object_get(l->data, key));
}

int64_t listed_int(const struct listed *l, const char *key)
{
    return json_integer_value(json_object_get(l->data, key));
}

static const char *kept_text(struct draft *d, json_t *data)
{
    data = data != NULL ? data : json_object();
    CHECK(data != NULL);
    const char *text = json_canonical(d->arena, data);
    json_decref(data);
    return text;
}

void listed_add(struct draft *d, const char *kind, const char *code, const char *place,
                const char *about, int64_t until_ms, bool active, json_t *data)
{
    draft_add(d, EFFECT_LISTED, "ttttoiit", kind, code, place, about, until_ms, (int64_t)active,
              d->cmd->happened_ms, kept_text(d, data));
}

void noted_add(struct draft *d, int64_t n, const struct noting *what)
{
    draft_add(d, EFFECT_NOTED, "itttooiiot", n, what->kind, what->code, what->place, what->lot,
              what->person, (int64_t)what->ok, d->cmd->happened_ms, what->until_ms,
              kept_text(d, what->data));
}

struct result noted_good(struct store *s, const char *kind, const char *code, int64_t before_ms,
                         int64_t *out_ms)
{
    struct statement *q = store_prepare(s, Q_NOTED_GOOD_BEFORE);
    store_bind_text(q, 1, kind);
    store_bind_text(q, 2, code);
    store_bind_int(q, 3, before_ms);
    bool row;
    TRY(store_step(q, &row));
    *out_ms = row ? store_int(q, 0) : 0;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

struct result listed_code(const json_t *o, const char *key, enum json_need need, const char **out)
{
    static const char letters[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._";
    const char *given = NULL;
    TRY(json_get_text(o, key, key, need, &given));
    if (given == NULL) {
        return RESULT_OK;
    }
    size_t len = strlen(given);
    *out = given;
    if (len == 0 || len > 20 || strspn(*out, letters) != len) {
        return FAIL2(FIELD_RANGE, key, *out,
                     "1 to 20 letters, digits, hyphens, points or underscores");
    }
    return RESULT_OK;
}

struct result listed_words(const json_t *o, const char *key, size_t most, enum json_need need,
                           const char **out)
{
    const char *given = NULL;
    TRY(json_get_text(o, key, key, need, &given));
    if (given == NULL) {
        return RESULT_OK;
    }
    size_t len = strlen(given);
    *out = given;
    return len > 0 && len <= most
               ? RESULT_OK
               : FAIL2(FIELD_RANGE, key, "too long or empty", "a few words to a few lines");
}

struct result listed_choice(const json_t *o, const char *key, const char *choices,
                            enum json_need need, const char **out)
{
    const char *given = NULL;
    TRY(json_get_text(o, key, key, need, &given));
    *out = given != NULL ? given : *out;
    return given == NULL || list_has(choices, given) ? RESULT_OK
                                                     : FAIL2(FIELD_CHOICE, key, given, choices);
}

struct result listed_until(struct draft *d, const char *key, enum json_need need, int64_t *out_ms)
{
    const char *text = NULL;
    *out_ms = 0;
    TRY(json_get_text(d->cmd->body, key, key, need, &text));
    if (text == NULL) {
        return RESULT_OK;
    }
    TRY(civil_read(text, key, out_ms));
    return *out_ms > d->cmd->happened_ms ? RESULT_OK
                                         : FAIL2(FIELD_RANGE, key, text, "later than now");
}
