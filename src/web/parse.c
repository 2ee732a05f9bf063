#include "web/parse.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

static int hex_digit(char c)
{
    return c >= '0' && c <= '9'   ? c - '0'
           : c >= 'a' && c <= 'f' ? c - 'a' + 10
           : c >= 'A' && c <= 'F' ? c - 'A' + 10
                                  : -1;
}

/* Bytes of a UTF-8 sequence by its first byte; 0: none begins so. */
static size_t sequence_len(unsigned char first)
{
    return first < 0x80   ? 1
           : first < 0xc2 ? 0
           : first < 0xe0 ? 2
           : first < 0xf0 ? 3
           : first < 0xf5 ? 4
                          : 0;
}

static bool is_text(const char *text)
{
    const unsigned char *p = (const unsigned char *)text;
    while (*p != '\0') {
        size_t len = sequence_len(*p);
        if (len == 0 || *p < 0x20 || *p == 0x7f) {
            return false;
        }
        for (size_t i = 1; i < len; i++) {
            if ((p[i] & 0xc0) != 0x80) {
                return false;
            }
        }
        bool too_long = (p[0] == 0xe0 && p[1] < 0xa0) || (p[0] == 0xf0 && p[1] < 0x90);
        bool surrogate = p[0] == 0xed && p[1] > 0x9f, beyond = p[0] == 0xf4 && p[1] > 0x8f;
        if (too_long || surrogate || beyond) {
            return false;
        }
        p += len;
    }
    return true;
}

/* NULL when the text is not well encoded. plus: "+" is a blank, as in a query. */
static const char *decode(struct arena *a, const char *from, size_t len, bool plus)
{
    char *out = arena_alloc(a, len + 1);
    size_t n = 0;
    for (size_t i = 0; i < len; i++) {
        char c = from[i];
        if (c == '%') {
            int high = len - i > 2 ? hex_digit(from[i + 1]) : -1;
            int low = high >= 0 ? hex_digit(from[i + 2]) : -1;
            if (low < 0 || (high == 0 && low == 0)) {
                return NULL;
            }
            c = (char)(high * 16 + low);
            i += 2;
        } else if (c == '+' && plus) {
            c = ' ';
        }
        out[n++] = c;
    }
    out[n] = '\0';
    return is_text(out) ? out : NULL;
}

static struct result bad(const char *what)
{
    return FAIL1(TARGET_BAD, "", what);
}

static struct result read_segments(struct arena *a, const char *path, struct target *out)
{
    for (const char *at = path; *at == '/' && at[1] != '\0';) {
        size_t len = strcspn(at + 1, "/");
        if (out->segment_count == PARSE_SEGMENTS_MAX) {
            return bad("it has too many parts");
        }
        const char *segment = decode(a, at + 1, len, false);
        if (segment == NULL) {
            return bad("it is not well encoded text");
        }
        if (segment[0] == '\0' || strcmp(segment, ".") == 0 || strcmp(segment, "..") == 0 ||
            strchr(segment, '/') != NULL || strchr(segment, '\\') != NULL) {
            return bad("it has a part that no address of ours has");
        }
        out->segment[out->segment_count++] = segment;
        at += 1 + len;
        if (*at == '/' && at[1] == '\0') {
            return bad("it ends with a slash");
        }
    }
    return RESULT_OK;
}

static struct result read_query(struct arena *a, const char *query, struct target *out)
{
    while (*query != '\0') {
        size_t len = strcspn(query, "&");
        size_t name_len = strcspn(query, "=&");
        if (len > 0) {
            bool has_value = name_len < len;
            struct pair p = {
                .name = decode(a, query, name_len, true),
                .value =
                    has_value ? decode(a, query + name_len + 1, len - name_len - 1, true) : ""};
            if (p.name == NULL || p.value == NULL) {
                return bad("its query is not well encoded text");
            }
            if (out->query_count == PARSE_QUERY_MAX || target_query(out, p.name) != NULL) {
                return bad("its query has too many names, or one twice");
            }
            out->query[out->query_count++] = p;
        }
        query += len;
        query += *query == '&';
    }
    return RESULT_OK;
}

struct result target_read(struct arena *a, const char *text, struct target *out)
{
    *out = (struct target){.path = "/"};
    if (text[0] != '/') {
        return bad("it does not begin with a slash");
    }
    size_t len = strcspn(text, "?#");
    if (text[len] == '#') {
        return bad("it holds a #");
    }
    out->path = arena_copy_n(a, text, len);
    TRY(read_segments(a, out->path, out));
    return text[len] == '?' ? read_query(a, text + len + 1, out) : RESULT_OK;
}

const char *target_query(const struct target *t, const char *name)
{
    for (size_t i = 0; i < t->query_count; i++) {
        if (strcmp(t->query[i].name, name) == 0) {
            return t->query[i].value;
        }
    }
    return NULL;
}

static bool is_token_text(const char *text, size_t len)
{
    for (size_t i = 0; i < len; i++) {
        if (!isalnum((unsigned char)text[i]) && text[i] != '-' && text[i] != '_') {
            return false;
        }
    }
    return len > 0;
}

const char *cookie_find(struct arena *a, const char *header, const char *name)
{
    const char *found = NULL;
    size_t name_len = strlen(name);
    while (header != NULL && *header != '\0') {
        header += strspn(header, " \t;");
        size_t len = strcspn(header, ";");
        if (len > name_len && strncmp(header, name, name_len) == 0 && header[name_len] == '=') {
            const char *value = header + name_len + 1;
            size_t value_len = len - name_len - 1;
            while (value_len > 0 && (value[value_len - 1] == ' ' || value[value_len - 1] == '\t')) {
                value_len--;
            }
            if (found != NULL || !is_token_text(value, value_len)) {
                return NULL;
            }
            found = arena_copy_n(a, value, value_len);
        }
        header += len;
    }
    return found;
}

bool etag_matches(const char *header, const char *etag)
{
    const char *wanted = strncmp(etag, "W/", 2) == 0 ? etag + 2 : etag;
    size_t wanted_len = strlen(wanted);
    while (header != NULL && *header != '\0') {
        header += strspn(header, " \t,");
        if (*header == '*') {
            return true;
        }
        if (strncmp(header, "W/", 2) == 0) {
            header += 2;
        }
        size_t len = *header == '"' ? 1 + strcspn(header + 1, "\"") : strcspn(header, ",");
        len += *header == '"' && header[len] == '"';
        if (len == wanted_len && memcmp(header, wanted, len) == 0) {
            return true;
        }
        header += len;
    }
    return false;
}

/* Whether the member's parameters say q=0. */
static bool is_refused(const char *member, size_t len)
{
    for (size_t i = 0; i + 2 < len; i++) {
        if (member[i] == ';') {
            size_t at = i + 1 + strspn(member + i + 1, " \t");
            if (at + 2 < len && tolower((unsigned char)member[at]) == 'q' &&
                member[at + 1] == '=') {
                size_t digits = strspn(member + at + 2, "0.");
                return at + 2 + digits >= len || strchr(" \t,;", member[at + 2 + digits]) != NULL;
            }
        }
    }
    return false;
}

bool takes_gzip(const char *header)
{
    while (header != NULL && *header != '\0') {
        header += strspn(header, " \t,");
        size_t len = strcspn(header, ",");
        size_t name_len = strcspn(header, ",; \t");
        if (name_len == 4 && strncasecmp(header, "gzip", 4) == 0) {
            return !is_refused(header, len);
        }
        header += len;
    }
    return false;
}

const char *language_wanted(const char *header)
{
    static const char *const spoken[] = {"en", "es"};
    while (header != NULL && *header != '\0') {
        header += strspn(header, " \t,");
        size_t len = strcspn(header, ",");
        size_t name_len = strcspn(header, ",;- \t");
        for (size_t i = 0; i < sizeof spoken / sizeof spoken[0] && !is_refused(header, len); i++) {
            if (name_len == 2 && strncasecmp(header, spoken[i], 2) == 0) {
                return spoken[i];
            }
        }
        header += len;
    }
    return NULL;
}

const char *host_name(struct arena *a, const char *header)
{
    if (header == NULL) {
        return NULL;
    }
    bool bracket = header[0] == '[';
    const char *from = bracket ? header + 1 : header;
    size_t len = strspn(from, bracket ? "0123456789abcdefABCDEF:."
                                      : "0123456789abcdefghijklmnopqrstuvwxyz"
                                        "ABCDEFGHIJKLMNOPQRSTUVWXYZ-._");
    const char *rest = from + len;
    if (len == 0 || len > 253 || (bracket && *rest++ != ']')) {
        return NULL;
    }
    if (*rest == ':') {
        size_t digits = strspn(rest + 1, "0123456789");
        if (digits == 0 || digits > 5) {
            return NULL;
        }
        rest += 1 + digits;
    }
    if (*rest != '\0') {
        return NULL;
    }
    char *name = arena_copy_n(a, from, len);
    for (char *p = name; *p != '\0'; p++) {
        *p = (char)tolower((unsigned char)*p);
    }
    return name;
}
