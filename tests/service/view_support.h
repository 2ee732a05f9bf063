/* Views of the invented house of the ledger's tests. */
#ifndef TESTS_SERVICE_VIEW_SUPPORT_H
#define TESTS_SERVICE_VIEW_SUPPORT_H

#include "fixture.h"

#include "evidence.h"
#include "service/view.h"

enum { HOUR_MS = 3600000, DAY_MS = 24 * HOUR_MS };

/* As somebody of a role sees the house now, in English. */
static inline struct view view_as(struct house *h, int64_t person, const char *role)
{
    return (struct view){.store = h->store,
                         .arena = &h->arena,
                         .profile = h->lg->profile,
                         .now_ms = h->fixed.now_ms,
                         .lang = "en",
                         .person = person,
                         .role = role};
}

static inline const json_t *at_key(const json_t *o, const char *key)
{
    const json_t *value = json_object_get(o, key);
    if (value == NULL) {
        char *text = json_dumps(o, JSON_INDENT(1));
        print_error("no %s in %s\n", key, text);
        free(text);
        fail();
    }
    return value;
}

/* "" for null. */
static inline const char *text_at(const json_t *o, const char *key)
{
    const json_t *value = at_key(o, key);
    assert_true(json_is_string(value) || json_is_null(value));
    return json_is_null(value) ? "" : json_string_value(value);
}

static inline int64_t number_at(const json_t *o, const char *key)
{
    const json_t *value = at_key(o, key);
    assert_true(json_is_integer(value));
    return json_integer_value(value);
}

/* The first object of a list whose key has that text; NULL: none. */
static inline const json_t *with_text(const json_t *list, const char *key, const char *text)
{
    size_t i;
    json_t *one;
    assert_true(json_is_array(list));
    json_array_foreach(list, i, one)
    {
        if (strcmp(text_at(one, key), text) == 0) {
            return one;
        }
    }
    return NULL;
}

static inline int64_t house_day(struct house *h)
{
    return day_of_house(h->fixed.now_ms, 0, h->lg->profile->day_starts_min);
}

#endif
