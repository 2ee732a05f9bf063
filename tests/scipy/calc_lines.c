/* calc_lines: calculations of the registry for a program that holds them against something else.
 *
 * A line in: {"calculation": NAME, "in": {...}}. A line out, at once: {"results": {...}} with each
 * number before rounding, or {"refused": ID, "field": FIELD}.
 */
#include <stdio.h>
#include <stdlib.h>

#include "base/check.h"
#include "calc/registry.h"

static json_t *answered(json_t *asked, struct arena *a)
{
    json_t *answer = NULL;
    struct result r = registry_call(json_string_value(json_object_get(asked, "calculation")),
                                    json_object_get(asked, "in"), a, &answer);
    if (r.code != CODE_OK) {
        return json_pack("{s:s, s:s}", "refused", code_id(r.code), "field", r.field);
    }
    json_t *results = json_deep_copy(json_object_get(answer, "results"));
    CHECK(json_object_update(results, json_object_get(answer, "unrounded")) == 0);
    json_decref(answer);
    return json_pack("{s:o}", "results", results);
}

int main(void)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    char *line = NULL;
    size_t room = 0;
    while (getline(&line, &room, stdin) > 0) {
        json_t *asked = json_loads(line, JSON_ALLOW_NUL, NULL);
        CHECK(asked != NULL);
        json_t *out = answered(asked, &a);
        CHECK(out != NULL);
        json_dumpf(out, stdout, JSON_COMPACT | JSON_REAL_PRECISION(17));
        putchar('\n');
        fflush(stdout);
        json_decref(out);
        json_decref(asked);
        arena_clear(&a);
    }
    free(line);
    arena_release(&a);
    return 0;
}
