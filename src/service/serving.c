#include "service/serving.h"

#include <pthread.h>
#include <stdlib.h>
#include <time.h>

#include "base/check.h"

struct serving {
    struct plant *plant;
    struct writer *writer;
    pthread_mutex_t mutex;
    pthread_cond_t bell;
    uint64_t rung;
};

struct result serving_start(struct plant *plant, struct serving **out)
{
    struct serving *s = calloc(1, sizeof *s);
    CHECK(s != NULL);
    s->plant = plant;
    struct result r = writer_start(plant, &s->writer);
    if (r.code != CODE_OK) {
        free(s);
        return r;
    }
    pthread_mutex_init(&s->mutex, NULL);
    pthread_cond_init(&s->bell, NULL);
    *out = s;
    return RESULT_OK;
}

void serving_stop(struct serving *s)
{
    writer_stop(s->writer);
    pthread_cond_destroy(&s->bell);
    pthread_mutex_destroy(&s->mutex);
    free(s);
}

const char *serving_folder(const struct serving *s)
{
    return s->plant->folder;
}

struct world serving_world(const struct serving *s)
{
    return s->plant->world;
}

void serving_ring(struct serving *s)
{
    pthread_mutex_lock(&s->mutex);
    s->rung++;
    pthread_cond_broadcast(&s->bell);
    pthread_mutex_unlock(&s->mutex);
}

struct result serving_ask(struct serving *s, const json_t *request, json_t **out_answer)
{
    struct result r = writer_ask(s->writer, request, out_answer);
    if (r.code == CODE_OK) {
        serving_ring(s);
    }
    return r;
}

uint64_t serving_rung(struct serving *s)
{
    pthread_mutex_lock(&s->mutex);
    uint64_t rung = s->rung;
    pthread_mutex_unlock(&s->mutex);
    return rung;
}

uint64_t serving_wait(struct serving *s, uint64_t heard, int64_t wait_ms)
{
    struct timespec until;
    clock_gettime(CLOCK_MONOTONIC, &until);
    until.tv_sec += wait_ms / 1000;
    until.tv_nsec += wait_ms % 1000 * 1000000;
    if (until.tv_nsec >= 1000000000) {
        until.tv_nsec -= 1000000000;
        until.tv_sec++;
    }
    int late = 0;
    pthread_mutex_lock(&s->mutex);
    while (s->rung <= heard && late == 0) {
        late = pthread_cond_clockwait(&s->bell, &s->mutex, CLOCK_MONOTONIC, &until);
    }
    uint64_t rung = s->rung;
    pthread_mutex_unlock(&s->mutex);
    return rung;
}
