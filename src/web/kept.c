#include "web/kept.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"

struct piece {
    struct kept_answer answer; /* first */
    struct kept_key key;
    size_t size; /* all its bytes */
    size_t held; /* by those who send it, and by the table */
};

struct kept {
    pthread_mutex_t mutex;
    uint64_t rung; /* of all that is kept */
    size_t count, count_max, bytes, bytes_max;
    struct piece *all[]; /* the oldest first */
};

struct kept *kept_new(size_t answers_max, size_t bytes_max)
{
    struct kept *k = calloc(1, sizeof *k + answers_max * sizeof k->all[0]);
    CHECK(k != NULL);
    pthread_mutex_init(&k->mutex, NULL);
    k->count_max = answers_max;
    k->bytes_max = bytes_max;
    return k;
}

/* The mutex is held. */
static void let_go(struct piece *p)
{
    if (--p->held == 0) {
        free(p);
    }
}

/* The mutex is held. */
static void drop_oldest(struct kept *k, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        k->bytes -= k->all[i]->size;
        let_go(k->all[i]);
    }
    k->count -= count;
    memmove(k->all, k->all + count, k->count * sizeof k->all[0]);
}

void kept_free(struct kept *k)
{
    for (size_t i = 0; i < k->count; i++) {
        CHECK(k->all[i]->held == 1);
    }
    drop_oldest(k, k->count);
    pthread_mutex_destroy(&k->mutex);
    free(k);
}

static bool same(const struct kept_key *a, const struct kept_key *b)
{
    return a->rung == b->rung && a->minute == b->minute && hash_equal(&a->asked, &b->asked);
}

/* The mutex is held. */
static struct piece *find(struct kept *k, const struct kept_key *key)
{
    for (size_t i = k->count; i-- > 0;) {
        if (same(&k->all[i]->key, key)) {
            return k->all[i];
        }
    }
    return NULL;
}

const struct kept_answer *kept_find(struct kept *k, const struct kept_key *key)
{
    pthread_mutex_lock(&k->mutex);
    struct piece *p = find(k, key);
    if (p != NULL) {
        p->held++;
    }
    pthread_mutex_unlock(&k->mutex);
    return p != NULL ? &p->answer : NULL;
}

void kept_let_go(struct kept *k, const struct kept_answer *answer)
{
    pthread_mutex_lock(&k->mutex);
    let_go((struct piece *)(uintptr_t)answer);
    pthread_mutex_unlock(&k->mutex);
}

static const char *move_in(char **at, const char *bytes, size_t len)
{
    char *to = *at;
    memcpy(to, bytes, len);
    *at += len;
    return to;
}

static const char *move_text_in(char **at, const char *text)
{
    return move_in(at, text, strlen(text) + 1);
}

static size_t size_of(const struct kept_answer *a)
{
    size_t size = sizeof(struct piece) + a->header_count * sizeof a->headers[0] + a->len +
                  strlen(a->etag) + 1;
    for (size_t i = 0; i < a->header_count; i++) {
        size += strlen(a->headers[i].name) + 1 + strlen(a->headers[i].value) + 1;
    }
    return size;
}

/* All of it in one block. */
static struct piece *piece_new(const struct kept_key *key, const struct kept_answer *a, size_t size)
{
    struct piece *p = malloc(size);
    CHECK(p != NULL);
    *p = (struct piece){.answer = *a, .key = *key, .size = size, .held = 1};
    struct pair *headers = (struct pair *)(p + 1);
    char *at = (char *)(headers + a->header_count);
    for (size_t i = 0; i < a->header_count; i++) {
        headers[i].name = move_text_in(&at, a->headers[i].name);
        headers[i].value = move_text_in(&at, a->headers[i].value);
    }
    p->answer.headers = headers;
    p->answer.etag = move_text_in(&at, a->etag);
    p->answer.bytes = move_in(&at, a->bytes, a->len);
    return p;
}

void kept_put(struct kept *k, const struct kept_key *key, const struct kept_answer *answer)
{
    size_t size = size_of(answer);
    if (size > k->bytes_max / 4) {
        return;
    }
    struct piece *p = piece_new(key, answer, size);
    pthread_mutex_lock(&k->mutex);
    if (key->rung > k->rung) {
        drop_oldest(k, k->count);
        k->rung = key->rung;
    }
    if (key->rung < k->rung || find(k, key) != NULL) {
        let_go(p);
    } else {
        while (k->count == k->count_max || k->bytes + size > k->bytes_max) {
            drop_oldest(k, 1);
        }
        k->all[k->count++] = p;
        k->bytes += size;
    }
    pthread_mutex_unlock(&k->mutex);
}
