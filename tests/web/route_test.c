#include "../support.h"

#include "web/route.h"

static struct arena arena;

static struct result find(enum method method, const char *path, const struct route **out,
                          const char *parts[2], const char **allow)
{
    struct target target;
    assert_ok(target_read(&arena, path, &target));
    return route_find(&arena, method, &target, out, parts, allow);
}

static void every_route_is_found_by_its_own_path(void **state)
{
    (void)state;
    for (size_t i = 0; i < route_count(); i++) {
        const struct route *route = route_at(i), *found = NULL;
        const char *parts[2], *allow;
        char path[200];
        snprintf(path, sizeof path, "%s", route->path);
        for (char *p = path; *p != '\0'; p++) {
            *p = *p == '{' || *p == '}' ? 'x' : *p;
        }
        assert_ok(find(route->method, path, &found, parts, &allow));
        assert_ptr_equal(found, route);
        for (size_t j = 0; j < i; j++) {
            assert_string_not_equal(route_at(j)->name, route->name);
        }
    }
}

static void parts_of_the_path_are_handed_over(void **state)
{
    (void)state;
    const struct route *found;
    const char *parts[2], *allow;
    assert_ok(find(METHOD_GET, "/api/v1/lots/M%20250", &found, parts, &allow));
    assert_string_equal(parts[0], "M 250");
    assert_ok(find(METHOD_GET, "/api/v1/labels/M250.pdf", &found, parts, &allow));
    assert_string_equal(parts[0], "M250");
    assert_null(parts[1]);
    assert_code(find(METHOD_GET, "/api/v1/labels/.pdf", &found, parts, &allow), ROUTE_UNKNOWN);
    assert_code(find(METHOD_GET, "/api/v1/labels/M250", &found, parts, &allow), ROUTE_UNKNOWN);
}

static void the_unknown_and_the_wrongly_asked(void **state)
{
    (void)state;
    const struct route *found;
    const char *parts[2], *allow = NULL;
    assert_code(find(METHOD_GET, "/api/v1/moult", &found, parts, &allow), ROUTE_UNKNOWN);
    assert_code(find(METHOD_GET, "/api/v1", &found, parts, &allow), ROUTE_UNKNOWN);
    assert_code(find(METHOD_GET, "/api/v1/me/more", &found, parts, &allow), ROUTE_UNKNOWN);
    assert_code(find(METHOD_OTHER, "/api/v1/session", &found, parts, &allow), METHOD_WRONG);
    assert_string_equal(allow, "POST, DELETE");
    assert_code(find(METHOD_POST, "/api/v1/me", &found, parts, &allow), METHOD_WRONG);
    assert_string_equal(allow, "GET, HEAD");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_route_is_found_by_its_own_path),
        cmocka_unit_test(parts_of_the_path_are_handed_over),
        cmocka_unit_test(the_unknown_and_the_wrongly_asked),
    };
    arena_init(&arena, ARENA_LIMIT_DEFAULT);
    cmocka_set_message_output(CM_OUTPUT_TAP);
    int failed = cmocka_run_group_tests(tests, NULL, NULL);
    arena_release(&arena);
    return failed;
}
