#include "web/pages.h"

#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/digest.h"
#include "web/embedded.h"
#include "web/guard.h"

struct page {
    const struct embedded_file *file;
    const char *path; /* "/app.js" */
    const char *type;
    const char *etag;
    const char *bytes;
};

struct pages {
    struct arena arena;
    struct page *all;
    size_t count;
};

static const char *type_of(const char *name)
{
    static const struct pair types[] = {
        {".html", "text/html; charset=utf-8"},
        {".js", "text/javascript; charset=utf-8"},
        {".css", "text/css; charset=utf-8"},
        {".webmanifest", "application/manifest+json"},
        {".svg", "image/svg+xml"},
        {".json", "application/json"},
        {".png", "image/png"},
    };
    const char *dot = strrchr(name, '.');
    for (size_t i = 0; dot != NULL && i < sizeof types / sizeof types[0]; i++) {
        if (strcmp(types[i].name, dot) == 0) {
            return types[i].value;
        }
    }
    return "application/octet-stream";
}

static const char *etag_of(struct arena *a, const struct hash *hash)
{
    const char *hex = hex_text(a, hash->b, 16); /* half of it tells any two of our files apart */
    return arena_printf(a, "\"%s\"", hex);
}

struct pages *pages_new(void)
{
    struct pages *p = calloc(1, sizeof *p);
    CHECK(p != NULL);
    arena_init(&p->arena, ARENA_LIMIT_DEFAULT);
    p->count = web_pages_count;
    p->all = ARENA_ARRAY(&p->arena, struct page, p->count);
    for (size_t i = 0; i < p->count; i++) {
        const struct embedded_file *file = &web_pages[i];
        const char *bytes = embedded_bytes(&p->arena, file);
        struct hash hash = digest_sha256(bytes, file->len);
        struct page *page = &p->all[i];
        CHECK(file->name != NULL);
        bool is_words = strcmp(file->name, "en.json") == 0 || strcmp(file->name, "es.json") == 0;
        *page = (struct page){
            .file = file,
            .path = arena_printf(&p->arena, "%s%s", is_words ? "/words/" : "/", file->name),
            .type = type_of(file->name),
            .etag = etag_of(&p->arena, &hash),
            .bytes = bytes};
    }
    return p;
}

void pages_free(struct pages *p)
{
    arena_release(&p->arena);
    free(p);
}

static const struct page *find(const struct pages *p, const char *path)
{
    for (size_t i = 0; i < p->count; i++) {
        if (strcmp(p->all[i].path, path) == 0) {
            return &p->all[i];
        }
    }
    return NULL;
}

/* What the page will ask for first, so that the browser asks while the scripts are still on their
 * way: written as the page writes it (ui/src/api/client.ts), or it would be asked for twice. Not
 * for a worker that only keeps the page. */
static void tell_ahead(struct call *c)
{
    static const char form[] = "<%s>; rel=preload; as=fetch; crossorigin";
    struct arena *a = c->arena;
    if (c->asked.fetch_mode == NULL || strcmp(c->asked.fetch_mode, "navigate") != 0) {
        return;
    }
    const char *link = arena_printf(a, form, arena_printf(a, "/words/%s.json", c->lang));
    link = arena_printf(a, "%s, %s", link, arena_printf(a, form, "/api/v1/me?lang=en"));
    bool signed_in =
        cookie_find(a, c->asked.cookie, cookie_name(c->secure, "plumule_session", a)) != NULL;
    if (signed_in && strcmp(c->target.path, "/") == 0) {
        const char *today = arena_printf(a, "/api/v1/today?lang=%s", c->lang);
        link = arena_printf(a, "%s, %s", link, arena_printf(a, form, today));
    }
    call_header(c, "Link", link);
}

struct result pages_answer(const struct pages *p, struct call *c)
{
    const struct page *page = find(p, c->target.path);
    if (page == NULL && strchr(c->target.path, '.') == NULL) {
        page = find(p, "/index.html");
    }
    if (page == NULL) {
        return FAIL1(ROUTE_UNKNOWN, "", c->target.path);
    }
    if (strcmp(page->file->name, "index.html") == 0) {
        tell_ahead(c);
    }
    c->etag = page->etag;
    c->cache_control = "no-cache";
    if (etag_matches(c->asked.if_none_match, page->etag)) {
        c->status = 304;
        return RESULT_OK;
    }
    c->content_type = page->type;
    bool smaller = page->file->gzip_len < page->file->len;
    c->gzipped = smaller && takes_gzip(c->asked.accept_encoding);
    c->bytes = c->gzipped ? (const char *)page->file->gzip : page->bytes;
    c->bytes_len = c->gzipped ? page->file->gzip_len : page->file->len;
    return RESULT_OK;
}
