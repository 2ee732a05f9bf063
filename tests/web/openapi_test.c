#include "../support.h"

#include <ctype.h>

#include "web/openapi.h"
#include "web/route.h"

/* Every $ref of a value names a schema that is there. */
static void assert_refs_stand(const json_t *value, const json_t *schemas)
{
    const char *key;
    json_t *member;
    size_t i;
    static const char start[] = "#/components/schemas/";
    json_object_foreach((json_t *)(uintptr_t)value, key, member)
    {
        if (strcmp(key, "$ref") == 0) {
            const char *ref = json_string_value(member);
            assert_non_null(ref);
            assert_int_equal(strncmp(ref, start, strlen(start)), 0);
            if (json_object_get(schemas, ref + strlen(start)) == NULL) {
                print_error("no schema for %s\n", ref);
                fail();
            }
        }
        assert_refs_stand(member, schemas);
    }
    json_array_foreach(value, i, member)
    {
        assert_refs_stand(member, schemas);
    }
}

static void the_description_knows_every_route(void **state)
{
    (void)state;
    json_t *document = openapi_document();
    const json_t *paths = json_object_get(document, "paths");
    assert_string_equal(json_string_value(json_object_get(document, "openapi")), "3.1.0");
    for (size_t i = 0; i < route_count(); i++) {
        const struct route *route = route_at(i);
        char method[8];
        snprintf(method, sizeof method, "%s", method_text(route->method));
        for (char *p = method; *p != '\0'; p++) {
            *p = (char)tolower((unsigned char)*p);
        }
        const json_t *o = json_object_get(json_object_get(paths, route->path), method);
        assert_non_null(o);
        assert_string_equal(json_string_value(json_object_get(o, "operationId")), route->name);
        assert_int_equal(json_object_get(o, "requestBody") != NULL, route->body[0] != '\0');
        assert_int_equal((route->flags & ROUTE_BODY) != 0, route->body[0] != '\0');
    }
    json_decref(document);
}

static void every_name_in_it_stands_for_something(void **state)
{
    (void)state;
    json_t *document = openapi_document();
    const json_t *schemas = json_object_get(json_object_get(document, "components"), "schemas");
    assert_true(json_object_size(schemas) > 40);
    assert_refs_stand(document, schemas);
    json_decref(document);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_description_knows_every_route),
        cmocka_unit_test(every_name_in_it_stands_for_something),
    };
    cmocka_set_message_output(CM_OUTPUT_TAP);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
