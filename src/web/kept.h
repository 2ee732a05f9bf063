/* Answers that were worked out a moment ago, to be given again while nothing was told since. One
 * newer state of the record drops them all; number and bytes are bounded, the oldest goes first. */
#ifndef WEB_KEPT_H
#define WEB_KEPT_H

#include "base/digest.h"
#include "web/parse.h"

struct kept;

/* What an answer hangs on. */
struct kept_key {
    uint64_t rung;     /* how often the writer had answered when the question came (serving.h) */
    int64_t minute;    /* for answers that change with time; else 0 */
    struct hash asked; /* who asks, how and what */
};

struct kept_answer {
    const char *bytes; /* JSON */
    size_t len;
    bool gzipped;
    const char *etag;
    const struct pair *headers;
    size_t header_count;
};

/* By any thread from then on. */
struct kept *kept_new(size_t answers_max, size_t bytes_max);
/* Nobody may hold an answer any more. */
void kept_free(struct kept *k);
/* NULL: none. Else it stays as it is until kept_let_go, whatever is dropped meanwhile. */
const struct kept_answer *kept_find(struct kept *k, const struct kept_key *key);
void kept_let_go(struct kept *k, const struct kept_answer *answer);
/* Keeps a copy, unless a newer state is known or it is bigger than a quarter of the room. */
void kept_put(struct kept *k, const struct kept_key *key, const struct kept_answer *answer);

#endif
