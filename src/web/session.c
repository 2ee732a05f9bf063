#include "web/session.h"

#include <pthread.h>
#include <sodium.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "base/digest.h"
#include "web/limits.h"

enum { TOKEN_BYTES = 32, TOKEN_TEXT_MAX = 64 };

struct open {
    bool taken;
    struct hash key;
    struct sitting who;
    int64_t opened_ms, used_ms;
};

struct sessions {
    struct world world;
    pthread_mutex_t mutex;
    struct open all[WEB_SESSIONS_MAX];
};

struct sessions *sessions_new(struct world world)
{
    struct sessions *s = calloc(1, sizeof *s);
    CHECK(s != NULL);
    s->world = world;
    pthread_mutex_init(&s->mutex, NULL);
    return s;
}

void sessions_free(struct sessions *s)
{
    pthread_mutex_destroy(&s->mutex);
    free(s);
}

const char *token_new(struct arena *a, struct world world)
{
    uint8_t bytes[TOKEN_BYTES];
    char *text = arena_alloc(a, TOKEN_TEXT_MAX);
    world.random(world.self, bytes, sizeof bytes);
    sodium_bin2base64(text, TOKEN_TEXT_MAX, bytes, sizeof bytes,
                      sodium_base64_VARIANT_URLSAFE_NO_PADDING);
    return text;
}

static bool is_over(const struct open *o, int64_t now_ms)
{
    return now_ms - o->used_ms > o->who.idle_s * 1000 ||
           now_ms - o->opened_ms > INT64_C(1000) * WEB_SESSION_S;
}

static struct open *place_for(struct sessions *s, int64_t now_ms)
{
    struct open *oldest = &s->all[0];
    for (size_t i = 0; i < WEB_SESSIONS_MAX; i++) {
        struct open *o = &s->all[i];
        if (!o->taken || is_over(o, now_ms)) {
            return o;
        }
        if (o->used_ms < oldest->used_ms) {
            oldest = o;
        }
    }
    return oldest;
}

const char *session_open(struct sessions *s, struct arena *a, const struct sitting *who)
{
    const char *token = token_new(a, s->world);
    int64_t now_ms = s->world.now_ms(s->world.self);
    pthread_mutex_lock(&s->mutex);
    *place_for(s, now_ms) = (struct open){.taken = true,
                                          .key = digest_sha256(token, strlen(token)),
                                          .who = *who,
                                          .opened_ms = now_ms,
                                          .used_ms = now_ms};
    pthread_mutex_unlock(&s->mutex);
    return token;
}

/* The mutex is held. */
static struct open *find(struct sessions *s, const char *token)
{
    if (token == NULL || strlen(token) >= TOKEN_TEXT_MAX) {
        return NULL;
    }
    struct hash key = digest_sha256(token, strlen(token));
    for (size_t i = 0; i < WEB_SESSIONS_MAX; i++) {
        if (s->all[i].taken && hash_equal(&s->all[i].key, &key)) {
            return &s->all[i];
        }
    }
    return NULL;
}

bool session_find(struct sessions *s, const char *token, bool quiet, struct sitting *out)
{
    int64_t now_ms = s->world.now_ms(s->world.self);
    pthread_mutex_lock(&s->mutex);
    struct open *o = find(s, token);
    if (o != NULL && is_over(o, now_ms)) {
        o->taken = false;
        o = NULL;
    }
    if (o != NULL) {
        o->used_ms = quiet ? o->used_ms : now_ms;
        *out = o->who;
    }
    pthread_mutex_unlock(&s->mutex);
    return o != NULL;
}

void session_close(struct sessions *s, const char *token)
{
    pthread_mutex_lock(&s->mutex);
    struct open *o = find(s, token);
    if (o != NULL) {
        *o = (struct open){.taken = false};
    }
    pthread_mutex_unlock(&s->mutex);
}

void session_close_all(struct sessions *s, int64_t person, const char *station)
{
    pthread_mutex_lock(&s->mutex);
    for (size_t i = 0; i < WEB_SESSIONS_MAX; i++) {
        struct open *o = &s->all[i];
        if (o->taken &&
            (person != 0 ? o->who.person == person : strcmp(o->who.station, station) == 0)) {
            *o = (struct open){.taken = false};
        }
    }
    pthread_mutex_unlock(&s->mutex);
}
