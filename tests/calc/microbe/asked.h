/* Calculations asked through the registry, as text. */
#ifndef TESTS_CALC_MICROBE_ASKED_H
#define TESTS_CALC_MICROBE_ASKED_H

#include "../../support.h"

#include "../near.h"
#include "calc/registry.h"

static inline struct result asked(struct arena *a, const char *name, const char *input,
                                  json_t **out)
{
    json_t *in = json_loads(input, 0, NULL);
    assert_non_null(in);
    struct result r = registry_call(name, in, a, out);
    json_decref(in);
    return r;
}

static inline void asked_refused(const char *name, const char *input, enum code code,
                                 const char *field)
{
    struct arena a;
    json_t *answer;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct result r = asked(&a, name, input, &answer);
    assert_int_equal(r.code, code);
    assert_string_equal(r.field, field);
    arena_release(&a);
}

/* The text of a result, "" where it is none; found in its rounded form. */
static inline void asked_says(const char *name, const char *input, const char *result,
                              const char *wanted)
{
    struct arena a;
    json_t *answer;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_ok(asked(&a, name, input, &answer));
    const char *text =
        json_string_value(json_object_get(json_object_get(answer, "results"), result));
    assert_string_equal(text == NULL ? "" : text, wanted);
    json_decref(answer);
    arena_release(&a);
}

static inline bool asked_gives(const char *name, const char *input, const char *result)
{
    struct arena a;
    json_t *answer;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_ok(asked(&a, name, input, &answer));
    bool given = json_object_get(json_object_get(answer, "results"), result) != NULL;
    json_decref(answer);
    arena_release(&a);
    return given;
}

static inline bool asked_warns(const char *name, const char *input, const char *part)
{
    struct arena a;
    json_t *answer;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    assert_ok(asked(&a, name, input, &answer));
    const json_t *cautions = json_object_get(answer, "cautions");
    bool found = false;
    for (size_t i = 0; i < json_array_size(cautions); i++) {
        found |= strstr(json_string_value(json_array_get(cautions, i)), part) != NULL;
    }
    json_decref(answer);
    arena_release(&a);
    return found;
}

#endif
