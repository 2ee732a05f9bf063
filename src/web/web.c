#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "web/events.h"
#include "web/pages.h"
#include "web/server.h"
#include "web/web_inner.h"

static void add_name(struct web *web, const char *name)
{
    CHECK(web->name_count < WEB_NAMES_MAX);
    web->names[web->name_count++] = name;
}

static void free_parts(struct web *web)
{
    if (web->events != NULL) {
        events_free(web->events);
    }
    if (web->readers != NULL) {
        readers_close(web->readers);
    }
    pages_free(web->pages);
    tries_free(web->tries);
    sessions_free(web->sessions);
    free(web);
}

static void make_salt(struct web *web)
{
    uint8_t bytes[6];
    struct arena a;
    arena_init(&a, 1 << 12);
    web->world.random(web->world.self, bytes, sizeof bytes);
    snprintf(web->salt, sizeof web->salt, "%s", hex_text(&a, bytes, sizeof bytes));
    arena_release(&a);
}

struct result web_start(struct serving *serving, const struct web_options *options,
                        struct web **out)
{
    struct web *web = calloc(1, sizeof *web);
    CHECK(web != NULL);
    web->serving = serving;
    web->world = serving_world(serving);
    web->sessions = sessions_new(web->world);
    web->tries = tries_new(web->world);
    web->pages = pages_new();
    make_salt(web);
    add_name(web, "127.0.0.1");
    add_name(web, "localhost");
    add_name(web, "::1");
    struct listen_at at = {.address = "127.0.0.1", .port = options->port};
    struct result r = readers_open(serving_folder(serving), web->world, &web->readers);
    if (r.code == CODE_OK) {
        web->events = events_start(web);
        r = server_start(web, &at, &web->server);
    }
    if (r.code != CODE_OK) {
        if (web->events != NULL) {
            events_end(web->events);
        }
        free_parts(web);
        return r;
    }
    *out = web;
    return RESULT_OK;
}

void web_stop(struct web *web)
{
    events_end(web->events);
    server_stop(web->server);
    free_parts(web);
}

int web_port(const struct web *web)
{
    return server_port(web->server);
}
