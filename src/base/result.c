#include "base/result.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/words.h"

struct code_row {
    const char *id;
    int http;
    int exit;
    const char *sentence;
};

static const struct code_row code_rows[] = {
#define CODE(name, id, http, exit, sentence) {id, http, exit, sentence},
#include "base/codes.def"
#undef CODE
};

_Noreturn void check_failed(const char *expression, const char *file, int line)
{
    fprintf(stderr, "plumule: internal fault, stopped to protect the record: %s at %s:%d\n",
            expression, file, line);
    abort();
}

static void put(char *out, size_t size, const char *text)
{
    if (text == NULL) {
        text = "";
    }
    size_t len = strlen(text);
    if (len >= size) {
        len = size - 1;
        while (len > 0 && ((unsigned char)text[len] & 0xC0) == 0x80) {
            len--; /* never cut inside a character */
        }
        const char *comma = len > 3 ? memrchr(text, ',', len - 3) : NULL;
        if (comma != NULL) { /* a list is cut between its words, and says so */
            len = (size_t)(comma - text) + 1;
            memcpy(out + len, "...", 4);
            memcpy(out, text, len);
            return;
        }
    }
    memcpy(out, text, len);
    out[len] = '\0';
}

struct result result_make(enum code code, const char *field, const char *v0, const char *v1,
                          const char *v2)
{
    struct result r = {.code = code};
    put(r.field, sizeof r.field, field);
    put(r.value[0], sizeof r.value[0], v0);
    put(r.value[1], sizeof r.value[1], v1);
    put(r.value[2], sizeof r.value[2], v2);
    return r;
}

struct result result_at(struct result r, int64_t line, int64_t column)
{
    if (r.code != CODE_OK) {
        r.line = (int32_t)(line > INT32_MAX ? INT32_MAX : line);
        r.column = (int32_t)(column > INT32_MAX ? INT32_MAX : column);
    }
    return r;
}

static const struct code_row *row(enum code code)
{
    CHECK((int)code >= 0 && code < CODE_COUNT);
    return &code_rows[code];
}

const char *code_id(enum code code)
{
    return row(code)->id;
}

int code_http(enum code code)
{
    return row(code)->http;
}

int code_exit(enum code code)
{
    return row(code)->exit;
}

const char *code_sentence(enum code code)
{
    return row(code)->sentence;
}

enum code code_from_id(const char *id)
{
    for (int i = 0; i < CODE_COUNT; i++) {
        if (strcmp(code_rows[i].id, id) == 0) {
            return (enum code)i;
        }
    }
    return CODE_COUNT;
}

const char *result_sentence(struct arena *a, const struct result *r)
{
    return result_sentence_in(a, "en", r);
}
