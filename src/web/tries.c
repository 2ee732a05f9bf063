#include "web/tries.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "web/limits.h"

struct tried {
    char address[48]; /* "": free */
    int64_t count, since_ms;
};

struct tries {
    struct world world;
    pthread_mutex_t mutex;
    struct tried all[WEB_ADDRESSES_MAX];
};

struct tries *tries_new(struct world world)
{
    struct tries *t = calloc(1, sizeof *t);
    CHECK(t != NULL);
    t->world = world;
    pthread_mutex_init(&t->mutex, NULL);
    return t;
}

void tries_free(struct tries *t)
{
    pthread_mutex_destroy(&t->mutex);
    free(t);
}

/* The mutex is held. The address's own place, else a free one, else the oldest. */
static struct tried *find(struct tries *t, const char *address, int64_t now_ms)
{
    struct tried *place = &t->all[0];
    for (size_t i = 0; i < WEB_ADDRESSES_MAX; i++) {
        struct tried *at = &t->all[i];
        if (now_ms - at->since_ms > INT64_C(1000) * WEB_TRIES_S) {
            at->address[0] = '\0';
        }
        if (strcmp(at->address, address) == 0) {
            return at;
        }
        if (place->address[0] != '\0' &&
            (at->address[0] == '\0' || at->since_ms < place->since_ms)) {
            place = at;
        }
    }
    *place = (struct tried){.since_ms = now_ms};
    snprintf(place->address, sizeof place->address, "%s", address);
    return place;
}

int64_t tries_count(struct tries *t, const char *address)
{
    int64_t now_ms = t->world.now_ms(t->world.self), wait_s = 0;
    pthread_mutex_lock(&t->mutex);
    struct tried *at = find(t, address, now_ms);
    if (at->count >= WEB_TRIES_PER_ADDRESS) {
        wait_s = WEB_TRIES_S - (now_ms - at->since_ms) / 1000;
        wait_s = wait_s < 1 ? 1 : wait_s;
    } else {
        at->count++;
    }
    pthread_mutex_unlock(&t->mutex);
    return wait_s;
}

void tries_good(struct tries *t, const char *address)
{
    int64_t now_ms = t->world.now_ms(t->world.self);
    pthread_mutex_lock(&t->mutex);
    struct tried *at = find(t, address, now_ms);
    at->count = at->count > 0 ? at->count - 1 : 0;
    pthread_mutex_unlock(&t->mutex);
}
