#include "web/openapi.h"

#include <ctype.h>
#include <string.h>

#include "base/check.h"
#include "ledger/profile.h"
#include "web/embedded.h"
#include "web/route.h"

/* All schemas, and under "parameters" what stands in parameters.json. */
static json_t *components(void)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    json_t *schemas = json_object(), *parameters = NULL;
    for (size_t i = 0; i < web_schemas_count; i++) {
        const struct embedded_file *file = &web_schemas[i];
        json_t *part = NULL;
        struct result r = json_read(embedded_bytes(&a, file), file->len, file->len, &part);
        CHECK(r.code == CODE_OK); /* a part of the program */
        if (strcmp(file->name, "parameters.json") == 0) {
            parameters = part;
            continue;
        }
        CHECK(json_object_update_missing(schemas, part) == 0);
        json_decref(part);
    }
    CHECK(parameters != NULL);
    arena_release(&a);
    return json_pack("{s:o,s:o}", "schemas", schemas, "parameters", parameters);
}

static json_t *schema_ref(const char *name)
{
    char ref[128];
    snprintf(ref, sizeof ref, "#/components/schemas/%s", name);
    return json_pack("{s:s}", "$ref", ref);
}

static void add_parameter(json_t *list, json_t *all, const char *name, bool in_path)
{
    const json_t *known = json_object_get(all, name);
    CHECK(known != NULL); /* every name of routes.def stands in parameters.json */
    json_t *p = json_pack("{s:s,s:s,s:b,s:O,s:O}", "name", name, "in", in_path ? "path" : "query",
                          "required", in_path, "description", json_object_get(known, "description"),
                          "schema", json_object_get(known, "schema"));
    CHECK(p != NULL);
    json_array_append_new(list, p);
}

static json_t *parameters_of(const struct route *route, json_t *all)
{
    json_t *list = json_array();
    char name[64];
    for (const char *at = route->path; (at = strchr(at, '{')) != NULL;) {
        size_t len = strcspn(++at, "}");
        snprintf(name, sizeof name, "%.*s", (int)len, at);
        add_parameter(list, all, name, true);
    }
    for (const char *at = route->query; list_next(&at, name, sizeof name);) {
        add_parameter(list, all, name, false);
    }
    add_parameter(list, all, "lang", false);
    return list;
}

static json_t *content(const char *type, json_t *schema)
{
    return json_pack("{s:{s:o}}", type, "schema", schema);
}

static json_t *answers_of(const struct route *route)
{
    char status[8];
    snprintf(status, sizeof status, "%d", route->status);
    bool is_json = strchr(route->out, '/') == NULL;
    json_t *good = is_json ? content("application/json", schema_ref(route->out))
                           : content(route->out, json_pack("{s:s}", "type", "string"));
    return json_pack("{s:{s:s,s:o},s:{s:s,s:o}}", status, "description", "Done.", "content", good,
                     "default", "description", "Refused: a problem document (RFC 9457).", "content",
                     content("application/problem+json", schema_ref("Problem")));
}

static json_t *operation(const struct route *route, json_t *parameters)
{
    json_t *o = json_pack("{s:s,s:s,s:s,s:o,s:o}", "operationId", route->name, "summary",
                          route->what, "x-who", route->who, "parameters",
                          parameters_of(route, parameters), "responses", answers_of(route));
    CHECK(o != NULL);
    if (route->body[0] != '\0') {
        json_object_set_new(o, "requestBody",
                            json_pack("{s:b,s:o}", "required", 1, "content",
                                      content("application/json", schema_ref(route->body))));
    }
    return o;
}

json_t *openapi_document(void)
{
    json_t *parts = components(), *paths = json_object();
    json_t *parameters = json_object_get(parts, "parameters");
    for (size_t i = 0; i < route_count(); i++) {
        const struct route *route = route_at(i);
        json_t *path = json_object_get(paths, route->path);
        if (path == NULL) {
            path = json_object();
            json_object_set_new(paths, route->path, path);
        }
        char method[8];
        snprintf(method, sizeof method, "%s", method_text(route->method));
        for (char *p = method; *p != '\0'; p++) {
            *p = (char)tolower((unsigned char)*p);
        }
        json_object_set_new(path, method, operation(route, parameters));
    }
    json_t *document = json_pack("{s:s,s:{s:s,s:s},s:o,s:{s:O}}", "openapi", "3.1.0", "info",
                                 "title", "plumule", "version", "1", "paths", paths, "components",
                                 "schemas", json_object_get(parts, "schemas"));
    CHECK(document != NULL);
    json_decref(parts);
    return document;
}
