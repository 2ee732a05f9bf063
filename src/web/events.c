#include "web/events.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "web/limits.h"
#include "web/web_inner.h"

enum { PENDING_MAX = 8192, TOKEN_MAX = 64, NEWS_MAX = 2048 };

struct listener {
    struct events *events;
    struct listener *next;
    char token[TOKEN_MAX];
    void (*sleep)(void *self);
    void (*wake)(void *self);
    void *self;
    bool asleep, over;
    size_t len;
    char pending[PENDING_MAX];
};

struct events {
    struct web *web;
    pthread_t thread;
    pthread_mutex_t mutex;
    struct listener *head;
    size_t count;
    int64_t size; /* of the record, as the last news said */
    bool ending;
};

/* {"size":N,"kinds":[...]} of what came after a size. */
static struct result news_since(struct web *web, struct arena *a, int64_t *size, char out[NEWS_MAX])
{
    struct reading reading;
    struct result r = reading_begin(web->readers, false, &reading);
    json_t *kinds = json_array();
    out[0] = '\0';
    if (r.code == CODE_OK && reading.size > *size) {
        struct statement *q = store_prepare(reading.plant->store, Q_DAYBOOK_KINDS_AFTER);
        bool row = true;
        store_bind_int(q, 1, *size);
        store_bind_int(q, 2, reading.size);
        while (r.code == CODE_OK && row) {
            r = store_step(q, &row);
            if (r.code == CODE_OK && row) {
                json_array_append_new(kinds, json_string(store_text(q, 0)));
            }
        }
    }
    if (r.code == CODE_OK) {
        json_t *news = json_pack("{s:I,s:O}", "size", (json_int_t)reading.size, "kinds", kinds);
        snprintf(out, NEWS_MAX, "id: %lld\nevent: size\ndata: %s\n\n", (long long)reading.size,
                 json_canonical(a, news));
        json_decref(news);
        *size = reading.size;
    }
    json_decref(kinds);
    reading_end(&reading);
    return r;
}

/* The mutex is held. */
static void rouse(struct listener *l)
{
    if (l->asleep) {
        l->asleep = false;
        l->wake(l->self);
    }
}

/* The mutex is held. Who does not take its news for so long is let go; it comes again. */
static void say(struct listener *l, const char *text)
{
    size_t len = strlen(text);
    if (len > PENDING_MAX - l->len) {
        l->over = true;
    } else {
        memcpy(l->pending + l->len, text, len);
        l->len += len;
    }
    rouse(l);
}

/* A heartbeat also looks who may still listen. */
static void beat(struct events *e)
{
    struct sitting sitting;
    pthread_mutex_lock(&e->mutex);
    for (struct listener *l = e->head; l != NULL; l = l->next) {
        if (!session_find(e->web->sessions, l->token, true, &sitting)) {
            l->over = true;
        }
        say(l, ": still here\n\n");
    }
    pthread_mutex_unlock(&e->mutex);
}

static void spread(struct events *e)
{
    char text[NEWS_MAX];
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    pthread_mutex_lock(&e->mutex);
    int64_t size = e->size;
    pthread_mutex_unlock(&e->mutex);
    int64_t before = size;
    struct result r = news_since(e->web, &a, &size, text);
    if (r.code == CODE_OK && size > before) {
        pthread_mutex_lock(&e->mutex);
        e->size = size;
        for (struct listener *l = e->head; l != NULL; l = l->next) {
            say(l, text);
        }
        pthread_mutex_unlock(&e->mutex);
    }
    arena_release(&a);
}

static bool is_ending(struct events *e)
{
    pthread_mutex_lock(&e->mutex);
    bool ending = e->ending;
    pthread_mutex_unlock(&e->mutex);
    return ending;
}

static void *listen_to_bell(void *self)
{
    struct events *e = self;
    uint64_t heard = serving_rung(e->web->serving);
    int64_t beat_ms = e->web->world.now_ms(e->web->world.self);
    spread(e);
    while (!is_ending(e)) {
        uint64_t rung = serving_wait(e->web->serving, heard, INT64_C(1000) * WEB_HEARTBEAT_S);
        if (rung > heard) {
            heard = rung;
            spread(e);
        }
        int64_t now_ms = e->web->world.now_ms(e->web->world.self);
        if (rung == heard && now_ms - beat_ms >= INT64_C(1000) * WEB_HEARTBEAT_S) {
            beat_ms = now_ms;
            beat(e);
        }
    }
    return NULL;
}

struct events *events_start(struct web *web)
{
    struct events *e = calloc(1, sizeof *e);
    CHECK(e != NULL);
    e->web = web;
    pthread_mutex_init(&e->mutex, NULL);
    int failed = pthread_create(&e->thread, NULL, listen_to_bell, e);
    CHECK(failed == 0);
    return e;
}

void events_end(struct events *e)
{
    pthread_mutex_lock(&e->mutex);
    e->ending = true;
    for (struct listener *l = e->head; l != NULL; l = l->next) {
        l->over = true;
        rouse(l);
    }
    pthread_mutex_unlock(&e->mutex);
    serving_ring(e->web->serving);
    pthread_join(e->thread, NULL);
}

void events_free(struct events *e)
{
    CHECK(e->head == NULL);
    pthread_mutex_destroy(&e->mutex);
    free(e);
}

/* The mutex is held. A session that opens one more than it may have loses its oldest: a page that
 * is gone is noticed late, and the page that asks is the one somebody looks at. */
static bool has_room(struct events *e, const char *token)
{
    struct listener *oldest = NULL; /* they stand newest first */
    size_t own = 0;
    for (struct listener *l = e->head; l != NULL; l = l->next) {
        if (!l->over && strcmp(l->token, token) == 0) {
            oldest = l;
            own++;
        }
    }
    if (own >= WEB_LISTENERS_PER_SESSION) {
        oldest->over = true;
        rouse(oldest);
    }
    return !e->ending && e->count < WEB_LISTENERS_MAX;
}

struct result listener_open(struct events *e, struct arena *a, const char *token, int64_t heard,
                            struct listener **out)
{
    char text[NEWS_MAX];
    int64_t size = heard;
    TRY(news_since(e->web, a, &size, text));
    struct listener *l = calloc(1, sizeof *l);
    CHECK(l != NULL);
    l->events = e;
    snprintf(l->token, sizeof l->token, "%s", token);
    pthread_mutex_lock(&e->mutex);
    bool room = has_room(e, l->token);
    if (room) {
        say(l, text);
        if (e->size > size) { /* spread between our look and now */
            snprintf(text, sizeof text,
                     "id: %lld\nevent: size\ndata: {\"kinds\":[],\"size\":%lld}\n\n",
                     (long long)e->size, (long long)e->size);
            say(l, text);
        }
        l->next = e->head;
        e->head = l;
        e->count++;
    }
    pthread_mutex_unlock(&e->mutex);
    if (!room) {
        free(l);
        return FAIL0(SERVER_BUSY, "");
    }
    *out = l;
    return RESULT_OK;
}

void listener_close(struct listener *l)
{
    struct events *e = l->events;
    pthread_mutex_lock(&e->mutex);
    struct listener **at = &e->head;
    while (*at != l) {
        CHECK(*at != NULL);
        at = &(*at)->next;
    }
    *at = l->next;
    e->count--;
    pthread_mutex_unlock(&e->mutex);
    free(l);
}

void listener_carry(struct listener *l, void (*sleep)(void *self), void (*wake)(void *self),
                    void *self)
{
    l->sleep = sleep;
    l->wake = wake;
    l->self = self;
}

long listener_read(struct listener *l, char *out, size_t size)
{
    struct events *e = l->events;
    pthread_mutex_lock(&e->mutex);
    long len = 0;
    if (l->over) {
        len = -1;
    } else if (l->len > 0) {
        size_t n = l->len < size ? l->len : size;
        memcpy(out, l->pending, n);
        memmove(l->pending, l->pending + n, l->len - n);
        l->len -= n;
        len = (long)n;
    } else {
        l->asleep = true;
        l->sleep(l->self);
    }
    pthread_mutex_unlock(&e->mutex);
    return len;
}
