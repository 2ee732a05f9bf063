#include "web/call.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "base/check.h"
#include "base/civil.h"
#include "base/words.h"
#include "service/view.h"

void call_header(struct call *c, const char *name, const char *value)
{
    CHECK(c->header_count < CALL_HEADERS_MAX);
    c->headers[c->header_count++] = (struct pair){name, value};
}

struct result call_text(struct call *c, const char *key, enum json_need need, const char **out)
{
    return json_get_text(c->json, key, key, need, out);
}

struct result call_int(struct call *c, const char *key, enum json_need need, int64_t low,
                       int64_t high, int64_t *out)
{
    return json_get_int(c->json, key, key, need, low, high, out);
}

struct result call_number(const char *text, const char *field, int64_t low, int64_t high,
                          int64_t *out)
{
    int64_t value = 0;
    size_t len = strlen(text);
    bool good = len > 0 && len <= 15 && strspn(text, "0123456789") == len;
    for (size_t i = 0; i < len && good; i++) {
        value = value * 10 + (text[i] - '0');
    }
    if (!good || value < low || value > high) {
        struct arena a;
        arena_init(&a, 1 << 12);
        struct result r = FAIL2(
            FIELD_RANGE, field, len <= 40 ? text : "too long",
            arena_printf(&a, "a whole number from %lld to %lld", (long long)low, (long long)high));
        arena_release(&a);
        return r;
    }
    *out = value;
    return RESULT_OK;
}

static const char *title_of(int status)
{
    static const struct {
        int status;
        const char *title;
    } titles[] = {
        {400, "Bad Request"},         {401, "Unauthorized"},
        {403, "Forbidden"},           {404, "Not Found"},
        {405, "Method Not Allowed"},  {409, "Conflict"},
        {413, "Content Too Large"},   {415, "Unsupported Media Type"},
        {421, "Misdirected Request"}, {422, "Unprocessable Content"},
        {429, "Too Many Requests"},   {502, "Bad Gateway"},
        {503, "Service Unavailable"}, {507, "Insufficient Storage"},
    };
    for (size_t i = 0; i < sizeof titles / sizeof titles[0]; i++) {
        if (titles[i].status == status) {
            return titles[i].title;
        }
    }
    return "Internal Server Error";
}

/* Faults of the machine name files and the engine's words in their values; whoever asks from
 * outside is told the sentence of the code only. */
static struct result without_inside(const struct result *r)
{
    struct result shown = *r;
    if (code_http(r->code) >= 500 && r->code != CODE_MEMORY_SHORT) {
        for (size_t i = 0; i < 3; i++) {
            snprintf(shown.value[i], sizeof shown.value[i], "...");
        }
    }
    return shown;
}

json_t *call_problem(struct arena *a, const char *lang, const struct result *r, int status)
{
    struct result shown = without_inside(r);
    json_t *values = json_array();
    for (size_t i = 0; i < 3; i++) {
        json_array_append_new(values, json_string(shown.value[i]));
    }
    json_t *problem = json_pack(
        "{s:s,s:s,s:i,s:s,s:s,s:s,s:o,s:i,s:i}", "type", "about:blank", "title", title_of(status),
        "status", status, "detail", result_sentence_in(a, lang, &shown), "code", code_id(r->code),
        "field", shown.field, "values", values, "line", (int)r->line, "column", (int)r->column);
    CHECK(problem != NULL);
    return problem;
}

void call_retry_after(struct call *c, int64_t seconds)
{
    call_header(c, "Retry-After",
                arena_printf(c->arena, "%lld", (long long)(seconds < 1 ? 1 : seconds)));
}

static const char *escaped(struct arena *a, const char *text)
{
    char *out = arena_alloc(a, strlen(text) * 3 + 1);
    size_t n = 0;
    for (const unsigned char *p = (const unsigned char *)text; *p != '\0'; p++) {
        bool plain = isalnum(*p) || strchr("-._~", *p) != NULL;
        n += (size_t)snprintf(out + n, 4, plain ? "%c" : "%%%02X", *p);
    }
    return out;
}

void call_next(struct call *c)
{
    const char *next = json_string_value(json_object_get(c->out, "next"));
    if (next == NULL) {
        return;
    }
    const char *query = "";
    for (size_t i = 0; i < c->target.query_count; i++) {
        const struct pair *p = &c->target.query[i];
        if (strcmp(p->name, "cursor") != 0) {
            query = arena_printf(c->arena, "%s%s=%s&", query, escaped(c->arena, p->name),
                                 escaped(c->arena, p->value));
        }
    }
    call_header(c, "Link",
                arena_printf(c->arena, "<%s?%scursor=%s>; rel=\"next\"", c->target.path, query,
                             escaped(c->arena, next)));
}

struct result call_day(struct call *c, const char *key, int32_t *out)
{
    const struct view *v = c->view;
    const char *text = target_query(&c->target, key);
    int starts_min = v->profile != NULL ? v->profile->day_starts_min : 0;
    *out = day_of_house(v->now_ms, civil_offset_min(v->now_ms), starts_min);
    return text != NULL ? day_read(text, key, out) : RESULT_OK;
}

struct result call_limit(struct call *c, int64_t *out)
{
    const char *text = target_query(&c->target, "limit");
    return text != NULL ? call_number(text, "limit", 1, 200, out) : RESULT_OK;
}
