#include "web/workers.h"

#include <pthread.h>
#include <stdlib.h>

#include "base/check.h"

struct workers {
    pthread_mutex_t mutex;
    pthread_cond_t work;
    struct job *head, *tail;
    size_t queued, queue_max;
    bool stop;
    size_t count;
    pthread_t threads[];
};

static void *work(void *self)
{
    struct workers *w = self;
    pthread_mutex_lock(&w->mutex);
    for (;;) {
        while (w->head == NULL && !w->stop) {
            pthread_cond_wait(&w->work, &w->mutex);
        }
        struct job *job = w->head;
        if (job == NULL) {
            break;
        }
        w->head = job->next;
        w->tail = w->head == NULL ? NULL : w->tail;
        w->queued--;
        pthread_mutex_unlock(&w->mutex);
        job->run(job); /* may let go of the job */
        pthread_mutex_lock(&w->mutex);
    }
    pthread_mutex_unlock(&w->mutex);
    return NULL;
}

struct workers *workers_start(size_t threads, size_t queue_max)
{
    struct workers *w = calloc(1, sizeof *w + threads * sizeof w->threads[0]);
    CHECK(w != NULL);
    w->queue_max = queue_max;
    w->count = threads;
    pthread_mutex_init(&w->mutex, NULL);
    pthread_cond_init(&w->work, NULL);
    for (size_t i = 0; i < threads; i++) {
        int failed = pthread_create(&w->threads[i], NULL, work, w);
        CHECK(failed == 0);
    }
    return w;
}

bool workers_offer(struct workers *w, struct job *job, void (*before)(struct job *job))
{
    pthread_mutex_lock(&w->mutex);
    bool room = !w->stop && w->queued < w->queue_max;
    if (room) {
        before(job);
        job->next = NULL;
        if (w->tail != NULL) {
            w->tail->next = job;
        } else {
            w->head = job;
        }
        w->tail = job;
        w->queued++;
        pthread_cond_signal(&w->work);
    }
    pthread_mutex_unlock(&w->mutex);
    return room;
}

void workers_stop(struct workers *w)
{
    pthread_mutex_lock(&w->mutex);
    w->stop = true;
    pthread_cond_broadcast(&w->work);
    pthread_mutex_unlock(&w->mutex);
    for (size_t i = 0; i < w->count; i++) {
        pthread_join(w->threads[i], NULL);
    }
    pthread_cond_destroy(&w->work);
    pthread_mutex_destroy(&w->mutex);
    free(w);
}
