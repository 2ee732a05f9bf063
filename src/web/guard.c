#include "web/guard.h"

#include <string.h>
#include <strings.h>

static const char policy[] =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; manifest-src 'self'; worker-src 'self'; frame-ancestors 'none'; "
    "base-uri 'none'; form-action 'self'";

static struct result check_host(struct call *c, const char *const *names, size_t name_count)
{
    const char *host = host_name(c->arena, c->asked.host);
    for (size_t i = 0; host != NULL && i < name_count; i++) {
        if (strcmp(host, names[i]) == 0) {
            return RESULT_OK;
        }
    }
    return FAIL1(HOST_WRONG, "", host != NULL ? host : "");
}

/* A page of another house, or a file on the device, must not tell things in a person's name. */
static struct result check_origin(struct call *c)
{
    const char *origin = c->asked.origin, *site = c->asked.fetch_site;
    const char *ours =
        arena_printf(c->arena, "%s://%s", c->secure ? "https" : "http", c->asked.host);
    if ((origin != NULL && strcasecmp(origin, ours) != 0) ||
        (site != NULL && strcmp(site, "same-origin") != 0 && strcmp(site, "none") != 0)) {
        return FAIL1(ORIGIN_WRONG, "", origin != NULL ? origin : site);
    }
    if (c->asked.plumule == NULL || strcmp(c->asked.plumule, "1") != 0) {
        return FAIL1(HEADER_MISSING, "", "X-Plumule: 1");
    }
    return RESULT_OK;
}

static bool is_json(const char *type)
{
    static const char wanted[] = "application/json";
    size_t len = sizeof wanted - 1;
    return type != NULL && strncasecmp(type, wanted, len) == 0 && strchr("; \t", type[len]) != NULL;
}

struct result guard_check(struct call *c, const char *const *names, size_t name_count)
{
    TRY(check_host(c, names, name_count));
    if (c->method == METHOD_GET) {
        return RESULT_OK;
    }
    TRY(check_origin(c));
    if (c->method == METHOD_POST && !is_json(c->asked.content_type)) {
        return FAIL1(MEDIA_TYPE_WRONG, "",
                     c->asked.content_type != NULL ? c->asked.content_type : "none");
    }
    return RESULT_OK;
}

void guard_headers(const struct call *c,
                   void (*put)(void *self, const char *name, const char *value), void *self)
{
    put(self, "Content-Security-Policy", policy);
    put(self, "X-Content-Type-Options", "nosniff");
    put(self, "X-Frame-Options", "DENY");
    put(self, "Referrer-Policy", "no-referrer");
    put(self, "Cross-Origin-Opener-Policy", "same-origin");
    put(self, "Cross-Origin-Resource-Policy", "same-origin");
    put(self, "Permissions-Policy",
        "accelerometer=(), camera=(self), geolocation=(), gyroscope=(), magnetometer=(), "
        "microphone=(), payment=(), usb=()");
    put(self, "Cache-Control", c->cache_control != NULL ? c->cache_control : "no-store");
}

const char *cookie_name(bool secure, const char *name, struct arena *a)
{
    return secure ? arena_printf(a, "__Host-%s", name) : name;
}

const char *cookie_text(struct arena *a, bool secure, const char *name, const char *value,
                        int64_t max_age_s)
{
    const char *age = max_age_s < 0 ? "" : arena_printf(a, "; Max-Age=%lld", (long long)max_age_s);
    return arena_printf(a, "%s=%s; Path=/; HttpOnly; SameSite=Strict%s%s",
                        cookie_name(secure, name, a), value, secure ? "; Secure" : "", age);
}
