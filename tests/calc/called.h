/* A row of the registry called with an input as text, and what it gave. Included once, by a test's
 * own file. */
#ifndef TESTS_CALC_CALLED_H
#define TESTS_CALC_CALLED_H

#include "../support.h"

#include "calc/registry.h"
#include "near.h"

static json_t *called(const char *name, const char *input, struct arena *a)
{
    json_t *in = json_loads(input, 0, NULL);
    json_t *out = NULL;
    assert_non_null(in);
    assert_ok(registry_call(name, in, a, &out));
    json_decref(in);
    return out;
}

static inline double number(const json_t *answer, const char *name)
{
    const json_t *value = json_object_get(json_object_get(answer, "results"), name);
    assert_true(json_is_number(value));
    return json_number_value(value);
}

static inline bool has(const json_t *answer, const char *name)
{
    return json_object_get(json_object_get(answer, "results"), name) != NULL;
}

/* Does some caution of the answer hold these words? */
static inline bool warns(const json_t *answer, const char *part)
{
    const json_t *cautions = json_object_get(answer, "cautions");
    for (size_t i = 0; i < json_array_size(cautions); i++) {
        if (strstr(json_string_value(json_array_get(cautions, i)), part) != NULL) {
            return true;
        }
    }
    return false;
}

#endif
