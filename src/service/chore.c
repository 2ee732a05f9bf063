#include "service/chore.h"

#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "base/check.h"

struct chore {
    int every_s;
    struct result (*look)(void *self, struct arena *a);
    void *self;
    const char *failed;
    pthread_t thread;
    pthread_mutex_t mutex;
    pthread_cond_t ending;
    bool stop;
};

static void look_once(struct chore *c)
{
    struct arena a;
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    struct result r = c->look(c->self, &a);
    if (r.code != CODE_OK) {
        fprintf(stderr, "plumule: %s: %s\n", c->failed, result_sentence(&a, &r));
    }
    arena_release(&a);
}

static void *work(void *self)
{
    struct chore *c = self;
    pthread_mutex_lock(&c->mutex);
    while (!c->stop) {
        struct timespec until;
        pthread_mutex_unlock(&c->mutex);
        look_once(c);
        clock_gettime(CLOCK_MONOTONIC, &until);
        until.tv_sec += c->every_s;
        pthread_mutex_lock(&c->mutex);
        if (!c->stop) {
            pthread_cond_clockwait(&c->ending, &c->mutex, CLOCK_MONOTONIC, &until);
        }
    }
    pthread_mutex_unlock(&c->mutex);
    return NULL;
}

struct chore *chore_start(int every_s, struct result (*look)(void *self, struct arena *a),
                          void *self, const char *failed)
{
    struct chore *c = calloc(1, sizeof *c);
    CHECK(c != NULL);
    *c = (struct chore){.every_s = every_s, .look = look, .self = self, .failed = failed};
    pthread_mutex_init(&c->mutex, NULL);
    pthread_cond_init(&c->ending, NULL);
    int no_thread = pthread_create(&c->thread, NULL, work, c);
    CHECK(no_thread == 0);
    return c;
}

void chore_stop(struct chore *c)
{
    pthread_mutex_lock(&c->mutex);
    c->stop = true;
    pthread_cond_signal(&c->ending);
    pthread_mutex_unlock(&c->mutex);
    pthread_join(c->thread, NULL);
    pthread_cond_destroy(&c->ending);
    pthread_mutex_destroy(&c->mutex);
    free(c);
}
