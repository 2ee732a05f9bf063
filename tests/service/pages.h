/* The house of the ledger's tests, seen as a page sees it. */
#ifndef TESTS_SERVICE_PAGES_H
#define TESTS_SERVICE_PAGES_H

#include "fixture.h"

#include "service/view.h"

static inline struct view house_view(struct house *h, const char *lang)
{
    return (struct view){.store = h->store,
                         .arena = &h->arena,
                         .profile = h->lg->profile,
                         .now_ms = h->fixed.now_ms,
                         .lang = lang,
                         .person = 1,
                         .role = "manager"};
}

static inline const char *page_text(const json_t *o, const char *name)
{
    const char *text = json_string_value(json_object_get(o, name));
    if (text == NULL) {
        print_error("no text under %s\n", name);
        fail();
    }
    return text;
}

static inline int64_t page_number(const json_t *o, const char *name)
{
    const json_t *value = json_object_get(o, name);
    if (!json_is_integer(value)) {
        print_error("no number under %s\n", name);
        fail();
    }
    return json_integer_value(value);
}

static inline bool page_null(const json_t *o, const char *name)
{
    return json_is_null(json_object_get(o, name));
}

/* The object of a list whose text under name is that; NULL: none. */
static inline json_t *page_find(const json_t *list, const char *name, const char *text)
{
    size_t i;
    json_t *o;
    assert_true(json_is_array(list));
    json_array_foreach(list, i, o)
    {
        const char *here = json_string_value(json_object_get(o, name));
        if (here != NULL && strcmp(here, text) == 0) {
            return o;
        }
    }
    return NULL;
}

#endif
