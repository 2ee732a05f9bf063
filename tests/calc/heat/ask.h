/* A calculation of the registry asked in one line, for the tests of rows. */
#ifndef TESTS_CALC_HEAT_ASK_H
#define TESTS_CALC_HEAT_ASK_H

#include "../../support.h"

#include "calc/registry.h"

struct asked {
    struct arena a;
    json_t *answer; /* NULL where it was refused */
    struct result result;
};

static inline struct asked ask(const char *name, const char *input)
{
    struct asked out = {.answer = NULL};
    arena_init(&out.a, ARENA_LIMIT_DEFAULT);
    json_t *in = json_loads(input, 0, NULL);
    assert_non_null(in);
    out.result = registry_call(name, in, &out.a, &out.answer);
    json_decref(in);
    return out;
}

static inline void asked_done(struct asked *asked)
{
    json_decref(asked->answer);
    arena_release(&asked->a);
}

static inline const json_t *asked_result(const struct asked *asked, const char *name)
{
    assert_ok(asked->result);
    return json_object_get(json_object_get(asked->answer, "results"), name);
}

static inline bool asked_warns(const struct asked *asked, const char *part)
{
    const json_t *cautions = json_object_get(asked->answer, "cautions");
    for (size_t i = 0; i < json_array_size(cautions); i++) {
        if (strstr(json_string_value(json_array_get(cautions, i)), part) != NULL) {
            return true;
        }
    }
    return false;
}

/* Does this input bring that caution? */
static inline void assert_warns(const char *name, const char *input, const char *part, bool wanted)
{
    struct asked asked = ask(name, input);
    assert_ok(asked.result);
    if (asked_warns(&asked, part) != wanted) {
        print_error("%s: \"%s\" %s\n", name, part, wanted ? "is missing" : "is there");
    }
    assert_int_equal(asked_warns(&asked, part), wanted);
    asked_done(&asked);
}

static inline void assert_refused(const char *name, const char *input, enum code code,
                                  const char *field)
{
    struct asked asked = ask(name, input);
    assert_code_at(asked.result, code, __FILE__, __LINE__);
    assert_string_equal(asked.result.field, field);
    asked_done(&asked);
}

#endif
