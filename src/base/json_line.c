/* Where a value stands in a text of JSON: a walk over text that has already been read without
 * fault. */
#include <stdlib.h>
#include <string.h>

#include "base/json.h"

struct walk {
    const char *at;
    int64_t line;
};

static void skip_space(struct walk *w)
{
    for (; *w->at == ' ' || *w->at == '\t' || *w->at == '\r' || *w->at == '\n'; w->at++) {
        w->line += *w->at == '\n';
    }
}

static void skip_string(struct walk *w)
{
    w->at++;
    while (*w->at != '\0' && *w->at != '"') {
        w->at += w->at[0] == '\\' && w->at[1] != '\0' ? 2 : 1;
    }
    w->at += *w->at == '"';
}

/* One value of any depth, without recursing. */
static void skip_value(struct walk *w)
{
    int depth = 0;
    do {
        skip_space(w);
        char c = *w->at;
        if (c == '\0') {
            return;
        }
        if (c == '"') {
            skip_string(w);
        } else if (c == '[' || c == '{') {
            depth++;
            w->at++;
        } else if (c == ']' || c == '}') {
            depth--;
            w->at++;
        } else if (c == ',' || c == ':') {
            w->at++;
        } else {
            w->at += strcspn(w->at, ",:[]{}\" \t\r\n");
        }
    } while (depth > 0);
}

/* Moves to the value of a member; false when the object has none. */
static bool enter_member(struct walk *w, const char *name, size_t len)
{
    if (*w->at != '{') {
        return false;
    }
    w->at++;
    for (;;) {
        skip_space(w);
        if (*w->at != '"') {
            return false;
        }
        const char *key = w->at + 1;
        skip_string(w);
        bool same = (size_t)(w->at - 1 - key) == len && strncmp(key, name, len) == 0;
        skip_space(w);
        w->at += *w->at == ':';
        skip_space(w);
        if (same) {
            return true;
        }
        skip_value(w);
        skip_space(w);
        w->at += *w->at == ',';
    }
}

static bool enter_element(struct walk *w, unsigned long index)
{
    if (*w->at != '[') {
        return false;
    }
    w->at++;
    for (unsigned long i = 0;; i++) {
        skip_space(w);
        if (*w->at == ']' || *w->at == '\0') {
            return false;
        }
        if (i == index) {
            return true;
        }
        skip_value(w);
        skip_space(w);
        w->at += *w->at == ',';
    }
}

int64_t json_line_of(const char *text, const char *path)
{
    struct walk w = {.at = text, .line = 1};
    skip_space(&w);
    int64_t line = w.line;
    while (*path != '\0') {
        bool found;
        if (*path == '[') {
            char *end;
            found = enter_element(&w, strtoul(path + 1, &end, 10));
            path = end + (*end == ']');
        } else {
            path += *path == '.';
            size_t len = strcspn(path, ".[");
            found = len > 0 && enter_member(&w, path, len);
            path += len;
        }
        if (!found) {
            break;
        }
        line = w.line;
    }
    return line;
}
