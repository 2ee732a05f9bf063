#include "base/json.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/decimal.h"

/* 2^53 - 1: beyond it a number is not read alike everywhere.
 * Bray 2015, RFC 7493, section 2.2 - from memory; Rundgren 2020, RFC 8785, section 3.2.2.3. */
#define INTEGER_MAX INT64_C(9007199254740991)

/* Counts brackets outside strings without recursing, before any parser sees the text. */
static struct result depth_check(const char *bytes, size_t len, int depth_max)
{
    int depth = 0;
    bool in_string = false;
    int64_t line = 1;
    size_t line_start = 0;
    for (size_t i = 0; i < len; i++) {
        char c = bytes[i];
        if (c == '\n') {
            line++;
            line_start = i + 1;
        }
        if (in_string) {
            if (c == '\\' && i + 1 < len && bytes[i + 1] != '\n') {
                i++;
            } else if (c == '"') {
                in_string = false;
            }
        } else if (c == '"') {
            in_string = true;
        } else if (c == '[' || c == '{') {
            if (++depth > depth_max) {
                char text[16];
                snprintf(text, sizeof text, "%d", depth_max);
                return result_at(FAIL1(JSON_DEEP, "", text), line, (int64_t)(i - line_start) + 1);
            }
        } else if (c == ']' || c == '}') {
            depth--;
        }
    }
    return RESULT_OK;
}

/* The quoted name at the end of the library's "duplicate object key near '"name"'". */
static void near_text(const char *text, char *out, size_t size)
{
    const char *from = strstr(text, "near '");
    const char *to = strrchr(text, '\'');
    if (from == NULL || to == NULL || to <= from + 6) {
        snprintf(out, size, "of a field");
        return;
    }
    snprintf(out, size, "%.*s", (int)(to - (from + 6)), from + 6);
}

static struct result read_at_depth(const char *bytes, size_t len, int depth_max, json_t **out)
{
    *out = NULL;
    TRY(depth_check(bytes, len, depth_max));
    json_error_t error;
    json_t *value = json_loadb(bytes, len, JSON_REJECT_DUPLICATES | JSON_DECODE_ANY, &error);
    if (value != NULL) {
        *out = value;
        return RESULT_OK;
    }
    if (json_error_code(&error) == json_error_duplicate_key) {
        char name[120];
        near_text(error.text, name, sizeof name);
        return result_at(FAIL1(JSON_DUPLICATE, "", name), error.line, error.column);
    }
    return result_at(FAIL1(JSON_BAD, "", error.text), error.line, error.column);
}

struct result json_read(const char *bytes, size_t len, size_t limit_bytes, json_t **out)
{
    *out = NULL;
    if (len > limit_bytes) {
        char text[24];
        snprintf(text, sizeof text, "%zu", limit_bytes);
        return FAIL1(INPUT_LARGE, "The JSON", text);
    }
    return read_at_depth(bytes, len, JSON_DEPTH_MAX, out);
}

struct result json_read_stored(const char *text, json_t **out)
{
    return read_at_depth(text, strlen(text), JSON_DEPTH_STORED, out);
}

/* Where the member of that name begins, behind the comma or bracket before it; NULL: it has none.
 * Only names at depth 1 count, and canonical text has no space between its marks. */
static const char *member_at(const char *text, const char *name)
{
    size_t len = strlen(name);
    int depth = 0;
    for (const char *c = text; *c != '\0'; c++) {
        if (*c == '"') {
            const char *from = ++c;
            for (; *c != '"' && *c != '\0'; c++) {
                c += *c == '\\' && c[1] != '\0';
            }
            if (*c == '\0') {
                return NULL;
            }
            if (depth == 1 && c[1] == ':' && (size_t)(c - from) == len &&
                memcmp(from, name, len) == 0) {
                return from - 1;
            }
        } else if (*c == '{' || *c == '[') {
            depth++;
        } else if (*c == '}' || *c == ']') {
            depth--;
        }
    }
    return NULL;
}

struct result json_read_stored_before(struct arena *a, const char *text, const char *name,
                                      json_t **out)
{
    const char *end = member_at(text, name);
    if (end == NULL) {
        return json_read_stored(text, out);
    }
    size_t len = (size_t)(end - text);
    char *head = arena_copy_n(a, text, len + 1);
    size_t last = head[len - 1] == ',' ? len - 1 : len;
    head[last] = '}';
    head[last + 1] = '\0';
    return json_read_stored(head, out);
}

static const char *type_words(const json_t *value)
{
    switch (json_typeof(value)) {
    case JSON_OBJECT:
        return "an object";
    case JSON_ARRAY:
        return "a list";
    case JSON_STRING:
        return "a text";
    case JSON_INTEGER:
        return "a whole number";
    case JSON_REAL:
        return "a number with a point";
    case JSON_TRUE:
        return "true";
    case JSON_FALSE:
        return "false";
    case JSON_NULL:
        return "null";
    }
    return "something else";
}

static struct result integer_range(const char *path, json_int_t value, int64_t low, int64_t high)
{
    if (value >= low && value <= high) {
        return RESULT_OK;
    }
    char text[24], range[64];
    snprintf(text, sizeof text, "%" JSON_INTEGER_FORMAT, value);
    snprintf(range, sizeof range, "from %lld to %lld", (long long)low, (long long)high);
    return FAIL2(FIELD_RANGE, path, text, range);
}

/* The way down to a value, from its end; written out only where something is wrong there. */
struct way {
    const struct way *up; /* NULL: the value itself */
    const char *key;      /* NULL: a place in a list */
    size_t index;
};

static void way_text(const struct way *at, char *out, size_t size)
{
    out[0] = '\0';
    if (at == NULL) {
        return;
    }
    way_text(at->up, out, size);
    size_t len = strlen(out);
    if (at->key == NULL) {
        snprintf(out + len, size - len, "[%zu]", at->index);
    } else {
        snprintf(out + len, size - len, "%s%s", len == 0 ? "" : ".", at->key);
    }
}

/* The depth is bounded by what json_read lets in. */
static struct result no_reals(const json_t *value, const struct way *at)
{
    char path[256];
    if (json_is_real(value)) {
        way_text(at, path, sizeof path);
        return FAIL2(FIELD_TYPE, path, "a whole number, or a text with a decimal number",
                     "a number with a point");
    }
    if (json_is_integer(value)) {
        json_int_t number = json_integer_value(value);
        if (number < -INTEGER_MAX || number > INTEGER_MAX) {
            way_text(at, path, sizeof path);
            return integer_range(path, number, -INTEGER_MAX, INTEGER_MAX);
        }
    } else if (json_is_array(value)) {
        for (size_t i = 0; i < json_array_size(value); i++) {
            struct way below = {.up = at, .index = i};
            TRY(no_reals(json_array_get(value, i), &below));
        }
    } else if (json_is_object(value)) {
        const char *key;
        json_t *member;
        json_object_foreach((json_t *)(uintptr_t)value, key, member)
        {
            struct way below = {.up = at, .key = key};
            TRY(no_reals(member, &below));
        }
    }
    return RESULT_OK;
}

struct result json_no_reals(const json_t *value)
{
    return no_reals(value, NULL);
}

/* Writing. */

struct writer {
    char *out;
    size_t len;
    size_t size;
    const char *first; /* what out began as, which is not the allocator's; NULL: nothing */
    bool canonical;
    const char *const *without; /* members of the outermost object that are left out; NULL: none */
};

static void grow(struct writer *w, size_t len)
{
    size_t size = w->size == 0 ? 1024 : w->size * 2;
    size = size - w->len < len ? w->len + len : size;
    char *grown = realloc(w->out == w->first ? NULL : w->out, size);
    CHECK(grown != NULL);
    if (w->out == w->first && w->len > 0) {
        memcpy(grown, w->first, w->len);
    }
    w->out = grown;
    w->size = size;
}

/* Room for len bytes more, which the caller fills. */
static inline char *room(struct writer *w, size_t len)
{
    if (w->size - w->len < len) {
        grow(w, len);
    }
    char *at = w->out + w->len;
    w->len += len;
    return at;
}

static inline void put(struct writer *w, const char *bytes, size_t len)
{
    if (len > 0) {
        memcpy(room(w, len), bytes, len);
    }
}

static inline void put_mark(struct writer *w, char mark)
{
    *room(w, 1) = mark;
}

static inline bool is_plain(char c)
{
    return (unsigned char)c >= 0x20 && c != '"' && c != '\\';
}

static void put_escape(struct writer *w, unsigned char c)
{
    static const char letters[] = "\b\t\n\f\r\"\\";
    static const char escapes[] = "btnfr\"\\";
    const char *at = c == 0 ? NULL : strchr(letters, c);
    char escape[8];
    if (at != NULL) {
        snprintf(escape, sizeof escape, "\\%c", escapes[at - letters]);
    } else {
        snprintf(escape, sizeof escape, "\\u%04x", c);
    }
    put(w, escape, strlen(escape));
}

static void put_string(struct writer *w, const char *text, size_t len)
{
    put_mark(w, '"');
    for (size_t from = 0; from < len; from++) {
        size_t to = from;
        while (to < len && is_plain(text[to])) {
            to++;
        }
        put(w, text + from, to - from);
        if (to < len) {
            put_escape(w, (unsigned char)text[to]);
        }
        from = to;
    }
    put_mark(w, '"');
}

enum { MEMBERS_FEW = 24 }; /* nearly every object has fewer, and needs no memory of its own */

struct member {
    const char *key;
    json_t *value;
};

/* Order of UTF-16 code units. UTF-8 bytes have the same order except that characters above U+FFFF
 * (first byte F0 and up), as surrogates D800..DFFF, stand before U+E000..U+FFFF (first byte EE or
 * EF). */
static int member_order(const void *x, const void *y)
{
    const unsigned char *p = (const unsigned char *)((const struct member *)x)->key;
    const unsigned char *q = (const unsigned char *)((const struct member *)y)->key;
    while (*p != '\0' && *p == *q) {
        p++;
        q++;
    }
    if (*p >= 0xEE && *q >= 0xEE && (*p >= 0xF0) != (*q >= 0xF0)) {
        return *p >= 0xF0 ? -1 : 1;
    }
    return (int)*p - (int)*q;
}

static void put_integer(struct writer *w, int64_t value)
{
    char digits[INTEGER_TEXT_MAX], *end = digits + sizeof digits, *at = integer_before(end, value);
    put(w, at, (size_t)(end - at));
}

static bool is_named(const char *key, const char *const *names)
{
    while (*names != NULL && strcmp(*names, key) != 0) {
        names++;
    }
    return *names != NULL;
}

static void put_value(struct writer *w, const json_t *value, int depth);

static void put_object(struct writer *w, const json_t *value, int depth)
{
    size_t count = json_object_size(value);
    struct member few[MEMBERS_FEW];
    struct member *members = count <= MEMBERS_FEW ? few : calloc(count, sizeof *members);
    CHECK(members != NULL);
    size_t n = 0;
    const char *key;
    json_t *member;
    json_object_foreach((json_t *)(uintptr_t)value, key, member)
    {
        if (depth > 0 || w->without == NULL || !is_named(key, w->without)) {
            members[n++] = (struct member){key, member};
        }
    }
    if (w->canonical) {
        qsort(members, n, sizeof *members, member_order);
    }
    put_mark(w, '{');
    for (size_t i = 0; i < n; i++) {
        if (i > 0) {
            put_mark(w, ',');
        }
        put_string(w, members[i].key, strlen(members[i].key));
        put_mark(w, ':');
        put_value(w, members[i].value, depth + 1);
    }
    put_mark(w, '}');
    if (members != few) {
        free(members);
    }
}

/* Seldom: the library finds the shortest digits. */
static void put_real(struct writer *w, const json_t *value)
{
    CHECK(!w->canonical);
    char *text = json_dumps(value, JSON_ENCODE_ANY);
    CHECK(text != NULL);
    put(w, text, strlen(text));
    free(text);
}

static void put_value(struct writer *w, const json_t *value, int depth)
{
    CHECK(!w->canonical || depth <= JSON_DEPTH_STORED);
    switch (json_typeof(value)) {
    case JSON_OBJECT:
        put_object(w, value, depth);
        return;
    case JSON_ARRAY:
        put_mark(w, '[');
        for (size_t i = 0; i < json_array_size(value); i++) {
            if (i > 0) {
                put_mark(w, ',');
            }
            put_value(w, json_array_get(value, i), depth + 1);
        }
        put_mark(w, ']');
        return;
    case JSON_STRING:
        put_string(w, json_string_value(value), json_string_length(value));
        return;
    case JSON_INTEGER:
        CHECK(!w->canonical || (json_integer_value(value) >= -INTEGER_MAX &&
                                json_integer_value(value) <= INTEGER_MAX));
        put_integer(w, json_integer_value(value));
        return;
    case JSON_TRUE:
        put(w, "true", 4);
        return;
    case JSON_FALSE:
        put(w, "false", 5);
        return;
    case JSON_NULL:
        put(w, "null", 4);
        return;
    case JSON_REAL:
        put_real(w, value);
        return;
    }
}

char *json_text(const json_t *value, size_t *out_len)
{
    struct writer w = {0};
    put_value(&w, value, 0);
    *out_len = w.len;
    put_mark(&w, '\0');
    return w.out;
}

enum { TEXT_FEW = 2048 }; /* most entries fit */

const char *json_canonical(struct arena *a, const json_t *value)
{
    char first[TEXT_FEW];
    struct writer w = {.out = first, .size = sizeof first, .first = first, .canonical = true};
    put_value(&w, value, 0);
    const char *out = arena_copy_n(a, w.out, w.len);
    if (w.out != first) {
        free(w.out);
    }
    return out;
}

struct hash json_sum_without(const json_t *value, const char *const *names)
{
    char first[TEXT_FEW];
    struct writer w = {
        .out = first, .size = sizeof first, .first = first, .canonical = true, .without = names};
    put_value(&w, value, 0);
    struct hash sum = digest_sha256(w.out, w.len);
    if (w.out != first) {
        free(w.out);
    }
    return sum;
}

const char *json_quoted(struct arena *a, const char *text)
{
    char first[128];
    struct writer w = {.out = first, .size = sizeof first, .first = first};
    put_string(&w, text, strlen(text));
    const char *out = arena_copy_n(a, w.out, w.len);
    if (w.out != first) {
        free(w.out);
    }
    return out;
}

/* Getters. */

static struct result find(const json_t *object, const char *key, const char *path,
                          enum json_need need, json_t **out)
{
    json_t *value = json_object_get(object, key);
    if (value != NULL && json_is_null(value)) {
        value = NULL;
    }
    if (value == NULL && need == JSON_NEEDED) {
        return FAIL1(FIELD_MISSING, path, "");
    }
    *out = value;
    return RESULT_OK;
}

static struct result wrong_type(const char *path, const char *wanted, const json_t *value)
{
    return FAIL2(FIELD_TYPE, path, wanted, type_words(value));
}

struct result json_get_text(const json_t *object, const char *key, const char *path,
                            enum json_need need, const char **out)
{
    json_t *value = NULL;
    TRY(find(object, key, path, need, &value));
    if (value == NULL) {
        return RESULT_OK;
    }
    if (!json_is_string(value)) {
        return wrong_type(path, "a text", value);
    }
    *out = json_string_value(value);
    return RESULT_OK;
}

struct result json_get_int(const json_t *object, const char *key, const char *path,
                           enum json_need need, int64_t low, int64_t high, int64_t *out)
{
    json_t *value = NULL;
    TRY(find(object, key, path, need, &value));
    if (value == NULL) {
        return RESULT_OK;
    }
    if (!json_is_integer(value)) {
        return wrong_type(path, "a whole number", value);
    }
    TRY(integer_range(path, json_integer_value(value), low, high));
    *out = json_integer_value(value);
    return RESULT_OK;
}

struct result json_get_bool(const json_t *object, const char *key, const char *path,
                            enum json_need need, bool *out)
{
    json_t *value = NULL;
    TRY(find(object, key, path, need, &value));
    if (value == NULL) {
        return RESULT_OK;
    }
    if (!json_is_boolean(value)) {
        return wrong_type(path, "true or false", value);
    }
    *out = json_is_true(value);
    return RESULT_OK;
}

struct result json_get_array(const json_t *object, const char *key, const char *path,
                             enum json_need need, json_t **out)
{
    json_t *value = NULL;
    TRY(find(object, key, path, need, &value));
    if (value == NULL) {
        return RESULT_OK;
    }
    if (!json_is_array(value)) {
        return wrong_type(path, "a list", value);
    }
    *out = value;
    return RESULT_OK;
}

struct result json_get_object(const json_t *object, const char *key, const char *path,
                              enum json_need need, json_t **out)
{
    json_t *value = NULL;
    TRY(find(object, key, path, need, &value));
    if (value == NULL) {
        return RESULT_OK;
    }
    if (!json_is_object(value)) {
        return wrong_type(path, "an object", value);
    }
    *out = value;
    return RESULT_OK;
}

struct result json_only(const json_t *object, const char *path, const char *what,
                        const char *const *names)
{
    const char *key;
    json_t *value;
    json_object_foreach((json_t *)(uintptr_t)object, key, value)
    {
        bool known = false;
        for (size_t i = 0; names[i] != NULL && !known; i++) {
            known = strcmp(names[i], key) == 0;
        }
        if (!known) {
            char full[128];
            snprintf(full, sizeof full, "%s%s%s", path, path[0] == '\0' ? "" : ".", key);
            return FAIL1(FIELD_UNKNOWN, full, what);
        }
    }
    return RESULT_OK;
}
