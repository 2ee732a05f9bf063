#include "web/trust.h"

#include <string.h>

#include "base/check.h"
#include "web/embedded.h"
#include "web/web_inner.h"

/* The text with every {name} that is known put in. */
static const char *filled(struct arena *a, const char *text, const struct pair *values,
                          size_t count)
{
    const char *out = "";
    while (*text != '\0') {
        size_t len = strcspn(text, "{");
        out = arena_printf(a, "%s%.*s", out, (int)len, text);
        text += len;
        for (size_t i = 0; *text == '{' && i < count; i++) {
            size_t name_len = strlen(values[i].name);
            if (strncmp(text + 1, values[i].name, name_len) == 0 && text[1 + name_len] == '}') {
                out = arena_printf(a, "%s%s", out, values[i].value);
                text += name_len + 2;
            }
        }
        if (*text == '{') {
            out = arena_printf(a, "%s{", out);
            text++;
        }
    }
    return out;
}

static const char *addresses(struct call *c)
{
    const char *list = "";
    for (size_t i = 0; i < c->web->address_count; i++) {
        list = arena_printf(c->arena, "%s<li><code>%s</code></li>", list, c->web->addresses[i]);
    }
    return list;
}

static void answer_page(struct call *c)
{
    const char *wanted = strcmp(c->lang, "es") == 0 ? "trust.es.html" : "trust.en.html";
    const struct pair values[] = {{"fingerprint", c->web->certificate.fingerprint},
                                  {"addresses", addresses(c)}};
    for (size_t i = 0; i < web_texts_count; i++) {
        if (strcmp(web_texts[i].name, wanted) == 0) {
            c->bytes = filled(c->arena, embedded_bytes(c->arena, &web_texts[i]), values, 2);
            c->bytes_len = strlen(c->bytes);
        }
    }
    CHECK(c->bytes != NULL);
    c->content_type = "text/html; charset=utf-8";
}

struct result trust_answer(struct call *c, bool *out_is)
{
    bool page = strcmp(c->target.path, "/trust") == 0;
    *out_is = page || strcmp(c->target.path, "/trust/house.crt") == 0;
    if (!*out_is) {
        return RESULT_OK;
    }
    if (c->web->certificate.fingerprint == NULL) {
        return FAIL1(ROUTE_UNKNOWN, "", c->target.path);
    }
    if (page) {
        answer_page(c);
        return RESULT_OK;
    }
    c->bytes = c->web->certificate.der;
    c->bytes_len = c->web->certificate.der_len;
    c->content_type = "application/x-x509-ca-cert";
    return RESULT_OK;
}
