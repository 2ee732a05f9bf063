/* Sentences of entries that were made a moment ago. An entry never changes: by one profile and in
 * one language it says the same for ever, so nothing here ever grows old. Any thread. */
#ifndef SERVICE_SENTENCES_H
#define SERVICE_SENTENCES_H

#include <stdint.h>

#include "base/arena.h"

struct sentences;

/* One for each profile. */
struct sentences *sentences_new(void);
/* Nobody may use it any more. NULL is taken. */
void sentences_free(struct sentences *s);
/* NULL: it is not there. */
const char *sentences_find(struct sentences *s, struct arena *a, const char *lang, int64_t entry);
/* A long one is not kept; another may have to go. */
void sentences_put(struct sentences *s, const char *lang, int64_t entry, const char *text);

#endif
