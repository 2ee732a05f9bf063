/* A mapping from a text, for the tests of mappings and of the files read by them. */
#ifndef TESTS_LEDGER_MAPPING_SUPPORT_H
#define TESTS_LEDGER_MAPPING_SUPPORT_H

#include "../support.h"

#include "ledger/mapping.h"

/* data with ' for "; the JSON read from it replaces *kept, which the caller owns. */
static inline struct result map_text(struct arena *a, const char *kind, const char *data,
                                     json_t **kept, struct mapping *out)
{
    char *text = arena_copy(a, data);
    for (char *at = text; *at != '\0'; at++) {
        *at = *at == '\'' ? '"' : *at;
    }
    json_decref(*kept);
    *kept = NULL;
    assert_ok(json_read(text, strlen(text), 1 << 20, kept));
    return mapping_read(a, "source-1", kind, *kept, out);
}

#endif
