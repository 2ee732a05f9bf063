#include "ledger/file_type.h"

#include <stdbool.h>
#include <string.h>
#include <strings.h>

#include "base/json.h"

struct magic {
    const char *type;
    const char *bytes;
    size_t len;
};

/* First bytes: PDF, ISO 32000-1:2008, 7.5.2 (from memory); PNG, W3C 2003, Portable Network
 * Graphics, 5.2 (from memory); JPEG start of image, ITU-T T.81 1992, table B.1, then any marker
 * (from memory). */
static const struct magic magics[] = {
    {"pdf", "%PDF-", 5},
    {"png", "\x89PNG\r\n\x1a\n", 8},
    {"jpeg", "\xff\xd8\xff", 3},
};

/* Text as programs export it: no control characters but tab, line ends and form feed. UTF-16 and
 * archives all have others. */
static bool is_text(const uint8_t *bytes, size_t len)
{
    for (size_t i = 0; i < len; i++) {
        if (bytes[i] < 0x20 && strchr("\t\n\r\f", bytes[i]) == NULL) {
            return false;
        }
        if (bytes[i] == 0 || bytes[i] == 0x7f) {
            return false;
        }
    }
    return len > 0;
}

static bool is_json(const uint8_t *bytes, size_t len)
{
    size_t at = 0;
    while (at < len && strchr(" \t\r\n", bytes[at]) != NULL && bytes[at] != 0) {
        at++;
    }
    if (at == len || (bytes[at] != '{' && bytes[at] != '[')) {
        return false;
    }
    json_t *value = NULL;
    struct result r = json_read((const char *)bytes, len, len, &value);
    if (r.code == CODE_OK) {
        json_decref(value);
    }
    return r.code == CODE_OK;
}

static bool ends_with(const char *name, const char *end)
{
    size_t len = strlen(name), tail = strlen(end);
    return len > tail && strcasecmp(name + len - tail, end) == 0;
}

const char *file_type(const uint8_t *bytes, size_t len, const char *name)
{
    for (size_t i = 0; i < sizeof magics / sizeof magics[0]; i++) {
        if (len >= magics[i].len && memcmp(bytes, magics[i].bytes, magics[i].len) == 0) {
            return magics[i].type;
        }
    }
    if (!is_text(bytes, len)) {
        return NULL;
    }
    if (is_json(bytes, len)) {
        return "json";
    }
    return ends_with(name, ".csv") || ends_with(name, ".tsv") ? "csv" : "txt";
}
