#include "web/web.h"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/file.h"
#include "service/plan_jobs.h"
#include "web/events.h"
#include "web/limits.h"
#include "web/pages.h"
#include "web/server.h"
#include "web/web_inner.h"

static void add_name(struct web *web, const char *name)
{
    for (size_t i = 0; i < web->name_count; i++) {
        if (strcmp(web->names[i], name) == 0) {
            return;
        }
    }
    if (web->name_count < WEB_NAMES_MAX) {
        web->names[web->name_count++] = arena_copy(&web->arena, name);
    }
}

/* The machine's addresses in the house, for one that listens on all of them. */
static void add_addresses(struct web *web)
{
    struct ifaddrs *all = NULL;
    if (getifaddrs(&all) != 0) {
        return;
    }
    for (const struct ifaddrs *at = all; at != NULL; at = at->ifa_next) {
        char text[INET6_ADDRSTRLEN];
        const struct sockaddr_in *v4 = (const void *)at->ifa_addr;
        if (at->ifa_addr != NULL && at->ifa_addr->sa_family == AF_INET &&
            (at->ifa_flags & IFF_LOOPBACK) == 0 &&
            inet_ntop(AF_INET, &v4->sin_addr, text, sizeof text) != NULL) {
            add_name(web, text);
        }
    }
    freeifaddrs(all);
}

static bool is_wildcard(const char *address)
{
    return strcmp(address, "0.0.0.0") == 0 || strcmp(address, "::") == 0;
}

static struct result add_given_names(struct web *web, const struct web_options *o)
{
    for (size_t i = 0; i < o->name_count; i++) {
        const char *name = host_name(&web->arena, o->names[i]);
        if (name == NULL || strchr(o->names[i], ':') != NULL) {
            return FAIL2(FIELD_RANGE, "name", o->names[i], "a host name such as plant.example");
        }
        add_name(web, name);
    }
    if (o->bind != NULL && is_wildcard(o->bind)) {
        add_addresses(web);
    } else if (o->bind != NULL) {
        add_name(web, o->bind);
    }
    return RESULT_OK;
}

/* first: the names before it mean this machine to itself. */
static void make_addresses(struct web *web, size_t first)
{
    for (size_t i = first; i < web->name_count; i++) {
        const char *name = web->names[i];
        const char *form = strchr(name, ':') != NULL ? "https://[%s]:%d/" : "https://%s:%d/";
        char text[300];
        snprintf(text, sizeof text, form, name, server_port(web->outside));
        web->addresses[web->address_count++] = arena_copy(&web->arena, text);
    }
}

static struct result start_outside(struct web *web, const struct web_options *o, size_t first)
{
    const char *folder = serving_folder(web->serving);
    if (o->certificate != NULL) {
        TRY(certificate_given(&web->arena, o->certificate, o->key, &web->certificate));
    } else {
        TRY(certificate_own(&web->arena, folder, web->world, web->names, web->name_count,
                            &web->certificate));
    }
    struct listen_at at = {.address = o->bind,
                           .port = o->tls_port,
                           .certificate = web->certificate.pem,
                           .key = web->certificate.key_pem};
    TRY(server_start(web, &at, &web->outside));
    make_addresses(web, first);
    return RESULT_OK;
}

static struct result start_parts(struct web *web, const struct web_options *o)
{
    struct listen_at at = {.address = "127.0.0.1", .port = o->port};
    add_name(web, "127.0.0.1");
    add_name(web, "localhost");
    add_name(web, "::1");
    size_t first = web->name_count;
    TRY(add_given_names(web, o));
    TRY(readers_open(serving_folder(web->serving), web->world, &web->readers));
    TRY(plan_jobs_open(serving_folder(web->serving), web->world, &web->plans));
    web->events = events_start(web);
    TRY(server_start(web, &at, &web->server));
    return o->bind != NULL ? start_outside(web, o, first) : RESULT_OK;
}

static void make_salt(struct web *web)
{
    uint8_t bytes[6];
    web->world.random(web->world.self, bytes, sizeof bytes);
    snprintf(web->salt, sizeof web->salt, "%s", hex_text(&web->arena, bytes, sizeof bytes));
}

struct result web_start(struct serving *serving, const struct web_options *options,
                        struct web **out)
{
    struct web *web = calloc(1, sizeof *web);
    CHECK(web != NULL);
    arena_init(&web->arena, ARENA_LIMIT_DEFAULT);
    web->serving = serving;
    web->world = serving_world(serving);
    web->sessions = sessions_new(web->world);
    web->tries = tries_new(web->world);
    web->pages = pages_new();
    web->program = options->program != NULL ? arena_copy(&web->arena, options->program) : NULL;
    web->kept = kept_new(WEB_KEPT_MAX, WEB_KEPT_BYTES_MAX);
    make_salt(web);
    struct result r = start_parts(web, options);
    if (r.code != CODE_OK) {
        web_stop(web);
        return r;
    }
    *out = web;
    return RESULT_OK;
}

void web_stop(struct web *web)
{
    if (web->events != NULL) {
        events_end(web->events);
    }
    if (web->outside != NULL) {
        server_stop(web->outside);
    }
    if (web->server != NULL) {
        server_stop(web->server);
    }
    if (web->events != NULL) {
        events_free(web->events);
    }
    if (web->plans != NULL) {
        plan_jobs_close(web->plans);
    }
    if (web->readers != NULL) {
        readers_close(web->readers);
    }
    kept_free(web->kept);
    pages_free(web->pages);
    tries_free(web->tries);
    sessions_free(web->sessions);
    arena_release(&web->arena);
    free(web);
}

int web_port(const struct web *web)
{
    return server_port(web->server);
}

struct web_outside web_outside(const struct web *web)
{
    return (struct web_outside){.addresses = web->addresses,
                                .address_count = web->address_count,
                                .fingerprint = web->certificate.fingerprint,
                                .is_new = web->certificate.is_new};
}
