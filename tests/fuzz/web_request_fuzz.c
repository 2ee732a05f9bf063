/* The first line is a request target, the others are headers that we read ourselves: whatever they
 * are, what is read from them is text, and no part of a path leads elsewhere. */
#include <stdint.h>
#include <string.h>

#include "base/check.h"
#include "web/route.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_target(struct arena *a, const char *text)
{
    struct target t;
    const struct route *route;
    const char *parts[2], *allow = NULL;
    if (target_read(a, text, &t).code != CODE_OK) {
        return;
    }
    CHECK(t.segment_count <= PARSE_SEGMENTS_MAX && t.query_count <= PARSE_QUERY_MAX);
    for (size_t i = 0; i < t.segment_count; i++) {
        CHECK(t.segment[i][0] != '\0' && strchr(t.segment[i], '/') == NULL);
        CHECK(strcmp(t.segment[i], "..") != 0 && strcmp(t.segment[i], ".") != 0);
    }
    for (size_t i = 0; i < t.query_count; i++) {
        CHECK(t.query[i].name != NULL && t.query[i].value != NULL);
    }
    for (int method = METHOD_GET; method <= METHOD_OTHER; method++) {
        if (route_find(a, (enum method)method, &t, &route, parts, &allow).code == CODE_OK) {
            CHECK(route->method == (enum method)method && route->run != NULL);
        }
    }
}

static void check_header(struct arena *a, const char *text)
{
    const char *cookie = cookie_find(a, text, "plumule_session");
    CHECK(cookie == NULL || (cookie[0] != '\0' && strpbrk(cookie, " ;=\"") == NULL));
    const char *host = host_name(a, text);
    CHECK(host == NULL || (host[0] != '\0' && strpbrk(host, "/@ ") == NULL));
    const char *language = language_wanted(text);
    CHECK(language == NULL || strlen(language) == 2);
    (void)takes_gzip(text);
    CHECK(etag_matches(text, "\"a\"") == etag_matches(text, "W/\"a\""));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct arena a;
    arena_init(&a, 64 << 20);
    char *text = arena_copy_n(&a, (const char *)data, size);
    char *next = strchr(text, '\n');
    if (next != NULL) {
        *next++ = '\0';
    }
    check_target(&a, text);
    while (next != NULL) {
        char *line = next;
        next = strchr(line, '\n');
        if (next != NULL) {
            *next++ = '\0';
        }
        check_header(&a, line);
    }
    arena_release(&a);
    return 0;
}
