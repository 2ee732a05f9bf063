#include "service/writer.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "service/witness.h"

struct ask {
    struct ask *next;
    const json_t *request;
    struct result result;
    json_t *answer;
    bool done;
    pthread_cond_t ready;
};

struct writer {
    struct plant *plant;
    pthread_t thread;
    pthread_mutex_t mutex;
    pthread_cond_t work, room;
    struct ask *head, *tail;
    size_t queued;
    bool stop;
};

static void drop(json_t **answers, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        json_decref(answers[i]);
        answers[i] = NULL;
    }
}

/* One pass over the group. -> the index of a request that failed after it had written, or by the
 * machine; or count. */
static size_t pass(struct plant *plant, const json_t *const *requests, size_t count,
                   struct arena *a, const bool *skip, struct result *results, json_t **answers)
{
    for (size_t i = 0; i < count; i++) {
        bool dirty = false;
        if (skip[i]) {
            continue;
        }
        results[i] = request_do(plant, requests[i], a, &answers[i], &dirty);
        arena_clear(a);
        /* a fault of the machine may have ended the transaction under us, also while only reading
         */
        if (results[i].code != CODE_OK && (dirty || code_http(results[i].code) >= 500)) {
            return i;
        }
    }
    return count;
}

static void fail_all(size_t count, const bool *skip, struct result *results, json_t **answers,
                     const struct result *why)
{
    for (size_t i = 0; i < count; i++) {
        /* a refusal stands whatever the disk did; what had been taken was not kept */
        if (!skip[i] && results[i].code == CODE_OK) {
            json_decref(answers[i]);
            answers[i] = NULL;
            results[i] = *why;
        }
    }
}

/* A head is kept outside once it can no longer be lost inside. */
static void keep_heads(struct plant *plant, const json_t *const *requests, size_t count,
                       struct result *results, json_t **answers)
{
    for (size_t i = 0; i < count; i++) {
        const char *what = json_string_value(json_object_get(requests[i], "do"));
        if (what != NULL && strcmp(what, "sign") == 0 && results[i].code == CODE_OK) {
            results[i] = witness_put(plant->folder, answers[i]);
            if (results[i].code != CODE_OK) {
                json_decref(answers[i]);
                answers[i] = NULL;
            }
        }
    }
}

/* The record and what the ledger knows of it as they were before the group. A reload that fails is
 * made up for before the next group: nothing may be appended behind entries that are not there. */
static struct result go_back(struct plant *plant, bool shortened)
{
    store_rollback(plant->store);
    plant->shortened = shortened;
    struct result r = ledger_reload(plant->ledger);
    plant->stale = r.code != CODE_OK;
    return r;
}

/* One try with those that are not skipped. *out_bad: the request that has to be left out, or count.
 */
static struct result try_group(struct plant *plant, const json_t *const *requests, size_t count,
                               struct arena *a, const bool *skip, struct result *results,
                               json_t **answers, size_t *out_bad)
{
    bool shortened = plant->shortened;
    *out_bad = count;
    if (plant->stale) {
        TRY(go_back(plant, shortened));
    }
    TRY(store_begin(plant->store));
    *out_bad = pass(plant, requests, count, a, skip, results, answers);
    struct result r = *out_bad == count ? store_commit(plant->store) : RESULT_OK;
    if (*out_bad == count && r.code == CODE_OK) {
        keep_heads(plant, requests, count, results, answers);
        return RESULT_OK;
    }
    if (*out_bad < count && results[*out_bad].code == CODE_STORE_FULL) {
        r = results[*out_bad]; /* the others would meet the same disk */
    }
    struct result back = go_back(plant, shortened);
    return r.code != CODE_OK ? r : back;
}

void group_take(struct plant *plant, const json_t *const *requests, size_t count,
                struct result *results, json_t **answers)
{
    bool skip[WRITER_GROUP_MAX] = {false};
    struct arena a;
    CHECK(count <= WRITER_GROUP_MAX);
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    memset(answers, 0, count * sizeof *answers);
    memset(results, 0, count * sizeof *results);
    for (;;) {
        size_t bad;
        struct result r = try_group(plant, requests, count, &a, skip, results, answers, &bad);
        if (r.code != CODE_OK) { /* nobody is served */
            fail_all(count, skip, results, answers, &r);
            break;
        }
        if (bad == count) {
            break;
        }
        /* one request failed half way: it alone is left out, the others are taken again from the
         * start */
        skip[bad] = true;
        drop(answers, count);
    }
    arena_release(&a);
}

static void *work(void *arg)
{
    struct writer *w = arg;
    const json_t *requests[WRITER_GROUP_MAX];
    struct result results[WRITER_GROUP_MAX];
    json_t *answers[WRITER_GROUP_MAX];
    struct ask *group[WRITER_GROUP_MAX];
    pthread_mutex_lock(&w->mutex);
    for (;;) {
        while (w->head == NULL && !w->stop) {
            pthread_cond_wait(&w->work, &w->mutex);
        }
        if (w->head == NULL) {
            break;
        }
        size_t count = 0;
        while (w->head != NULL && count < WRITER_GROUP_MAX) {
            group[count] = w->head;
            requests[count++] = w->head->request;
            w->head = w->head->next;
            w->queued--;
        }
        if (w->head == NULL) {
            w->tail = NULL;
        }
        pthread_cond_broadcast(&w->room);
        pthread_mutex_unlock(&w->mutex);
        group_take(w->plant, requests, count, results, answers);
        pthread_mutex_lock(&w->mutex);
        for (size_t i = 0; i < count; i++) {
            group[i]->result = results[i];
            group[i]->answer = answers[i];
            group[i]->done = true;
            pthread_cond_signal(&group[i]->ready);
        }
    }
    pthread_mutex_unlock(&w->mutex);
    return NULL;
}

struct result writer_start(struct plant *plant, struct writer **out)
{
    struct writer *w = calloc(1, sizeof *w);
    CHECK(w != NULL && plant->ledger != NULL);
    w->plant = plant;
    pthread_mutex_init(&w->mutex, NULL);
    pthread_cond_init(&w->work, NULL);
    pthread_cond_init(&w->room, NULL);
    int failed = pthread_create(&w->thread, NULL, work, w);
    CHECK(failed == 0);
    *out = w;
    return RESULT_OK;
}

void writer_stop(struct writer *w)
{
    pthread_mutex_lock(&w->mutex);
    w->stop = true;
    pthread_cond_signal(&w->work);
    pthread_mutex_unlock(&w->mutex);
    pthread_join(w->thread, NULL);
    pthread_cond_destroy(&w->work);
    pthread_cond_destroy(&w->room);
    pthread_mutex_destroy(&w->mutex);
    free(w);
}

struct result writer_ask(struct writer *w, const json_t *request, json_t **out_answer)
{
    struct ask ask = {.request = request};
    pthread_cond_init(&ask.ready, NULL);
    pthread_mutex_lock(&w->mutex);
    while (w->queued >= WRITER_QUEUE_MAX) {
        pthread_cond_wait(&w->room, &w->mutex);
    }
    if (w->tail != NULL) {
        w->tail->next = &ask;
    } else {
        w->head = &ask;
    }
    w->tail = &ask;
    w->queued++;
    pthread_cond_signal(&w->work);
    while (!ask.done) {
        pthread_cond_wait(&ask.ready, &w->mutex);
    }
    pthread_mutex_unlock(&w->mutex);
    pthread_cond_destroy(&ask.ready);
    *out_answer = ask.answer;
    return ask.result;
}
