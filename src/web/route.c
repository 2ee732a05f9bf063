#include "web/route.h"

#include <string.h>

enum {
    READS = ROUTE_READS,
    TICKS = ROUTE_TICKS,
    WORKS = ROUTE_WORKS,
    BODY = ROUTE_BODY,
    BIG = ROUTE_BIG,
    GRAPH = ROUTE_GRAPH,
    SEAT = ROUTE_SEAT,
    FRESH = ROUTE_FRESH
};

static const struct route routes[] = {
#define ROUTE(method, path, name, who, flags, query, body, out, status, what, function) \
    {METHOD_##method, path, name, who, flags, query, body, out, status, what, function},
#include "web/routes.def"
#undef ROUTE
};

size_t route_count(void)
{
    return sizeof routes / sizeof routes[0];
}

const struct route *route_at(size_t index)
{
    return &routes[index];
}

const char *method_text(enum method method)
{
    static const char *const texts[] = {"GET", "POST", "DELETE", "OTHER"};
    return texts[method];
}

/* Whether the target's segments are those of a path with {names}; a name stands for a whole
 * segment, or for its beginning as in {lot}.pdf. */
static bool fits(struct arena *a, const char *path, const struct target *t, const char *parts[2])
{
    size_t part = 0;
    for (size_t i = 0; i < t->segment_count; i++) {
        if (*path++ != '/') {
            return false;
        }
        size_t len = strcspn(path, "/"), have = strlen(t->segment[i]);
        if (path[0] == '{') {
            size_t tail = len - (strcspn(path, "}") + 1);
            const char *ending = path + len - tail;
            if (have <= tail || strncmp(t->segment[i] + have - tail, ending, tail) != 0) {
                return false;
            }
            parts[part++] = arena_copy_n(a, t->segment[i], have - tail);
        } else if (have != len || strncmp(path, t->segment[i], len) != 0) {
            return false;
        }
        path += len;
    }
    return *path == '\0';
}

struct result route_find(struct arena *a, enum method method, const struct target *target,
                         const struct route **out, const char *parts[2], const char **allow)
{
    const char *methods = "";
    for (size_t i = 0; i < route_count(); i++) {
        const char *found[2] = {NULL, NULL};
        if (!fits(a, routes[i].path, target, found)) {
            continue;
        }
        if (routes[i].method == method) {
            parts[0] = found[0];
            parts[1] = found[1];
            *out = &routes[i];
            return RESULT_OK;
        }
        methods = arena_printf(a, "%s%s%s", methods, methods[0] != '\0' ? ", " : "",
                               routes[i].method == METHOD_GET ? "GET, HEAD"
                                                              : method_text(routes[i].method));
    }
    *allow = methods;
    return methods[0] != '\0' ? FAIL1(METHOD_WRONG, "", methods)
                              : FAIL1(ROUTE_UNKNOWN, "", target->path);
}
