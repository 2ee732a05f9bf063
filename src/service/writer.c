#include "service/writer.h"

#include <pthread.h>
#include <sched.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/check.h"
#include "service/witness.h"

enum { GATHER_MAX_NS = 1000 * 1000 };

struct ask {
    struct ask *next;
    const json_t *request;
    const struct command_sum *sum;
    struct result result;
    json_t *answer;
    bool answered; /* under the writer's mutex, and its told */
};

/* Requests that stand in one transaction. */
struct group {
    const json_t *const *requests;
    const struct command_sum *const *sums; /* NULL: nobody has worked them out */
    struct result *results;
    json_t **answers;
    size_t count;
    bool skip[WRITER_GROUP_MAX]; /* left out, because it failed half way */
    struct writer *writer;       /* whose waiting asks may still join; NULL: nobody joins */
    int64_t until_ns;            /* how long those expected are waited for; 0: not waited yet */
};

struct writer {
    struct plant *plant;
    pthread_mutex_t mutex;
    pthread_cond_t room, idle, told, crowd;
    pthread_t own;
    struct ask *head, *tail;
    _Atomic size_t queued; /* written under the mutex */
    size_t asking;         /* in writer_ask */
    bool led;              /* somebody leads, or was told to */
    bool own_leads, stopping;
    /* below: the leader's alone */
    size_t expected;   /* who asked around the last group, and may soon ask again */
    int64_t commit_ns; /* what the last commit took */
    struct arena arena;
    struct group group;
    struct ask *asks[WRITER_GROUP_MAX];
    const json_t *requests[WRITER_GROUP_MAX];
    const struct command_sum *sums[WRITER_GROUP_MAX];
    struct result results[WRITER_GROUP_MAX];
    json_t *answers[WRITER_GROUP_MAX];
};

/* Takes what waits into the group. */
static void join_waiting(struct writer *w)
{
    struct group *g = &w->group;
    while (w->head != NULL && g->count < WRITER_GROUP_MAX) {
        struct ask *ask = w->head;
        w->head = ask->next;
        w->queued--;
        w->asks[g->count] = ask;
        w->requests[g->count] = ask->request;
        w->sums[g->count] = ask->sum;
        w->results[g->count] = RESULT_OK;
        w->answers[g->count] = NULL;
        g->skip[g->count] = false;
        g->count++;
    }
    if (w->head == NULL) {
        w->tail = NULL;
    }
    pthread_cond_broadcast(&w->room);
}

static int64_t now_ns(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return t.tv_sec * INT64_C(1000000000) + t.tv_nsec;
}

/* Until somebody asks. A group waits no longer than the commit takes that it may save, and awake: a
 * sleeping processor takes longer to wake than most take to come back. The mutex is left to those
 * who come. */
static void wait_for_more(struct writer *w, struct group *g)
{
    if (g->until_ns == 0) {
        g->until_ns = now_ns() + (w->commit_ns < GATHER_MAX_NS ? w->commit_ns : GATHER_MAX_NS);
    }
    pthread_mutex_unlock(&w->mutex);
    while (w->queued == 0 && now_ns() < g->until_ns) {
        sched_yield();
    }
    pthread_mutex_lock(&w->mutex);
}

/* Who asked while the group was being done joins it. Those answered last come back within the time
 * of a few requests, and the first of them must not commit alone: the others would wait for that,
 * and every round would take two commits. */
static bool more_joined(struct group *g)
{
    struct writer *w = g->writer;
    size_t before = g->count;
    if (w == NULL) {
        return false;
    }
    pthread_mutex_lock(&w->mutex);
    if (w->head == NULL && g->count < w->expected) {
        wait_for_more(w, g);
    }
    join_waiting(w);
    pthread_mutex_unlock(&w->mutex);
    return g->count > before;
}

static void drop(struct group *g)
{
    for (size_t i = 0; i < g->count; i++) {
        json_decref(g->answers[i]);
        g->answers[i] = NULL;
    }
}

/* One pass over the group. -> the index of a request that failed after it had written, or by the
 * machine; or the group's count. */
static size_t pass(struct plant *plant, struct group *g, struct arena *a)
{
    for (size_t i = 0; i < g->count || more_joined(g); i++) {
        bool dirty = false;
        if (g->skip[i]) {
            continue;
        }
        struct result *r = &g->results[i];
        *r = request_do(plant, g->requests[i], g->sums != NULL ? g->sums[i] : NULL, a,
                        &g->answers[i], &dirty);
        arena_clear(a);
        /* a fault of the machine may have ended the transaction under us, also while only reading
         */
        if (r->code != CODE_OK && (dirty || code_http(r->code) >= 500)) {
            return i;
        }
    }
    return g->count;
}

static void fail_all(struct group *g, const struct result *why)
{
    for (size_t i = 0; i < g->count; i++) {
        /* a refusal stands whatever the disk did; what had been taken was not kept */
        if (!g->skip[i] && g->results[i].code == CODE_OK) {
            json_decref(g->answers[i]);
            g->answers[i] = NULL;
            g->results[i] = *why;
        }
    }
}

/* A head is kept outside once it can no longer be lost inside. */
static void keep_heads(struct plant *plant, struct group *g)
{
    for (size_t i = 0; i < g->count; i++) {
        const char *what = json_string_value(json_object_get(g->requests[i], "do"));
        if (what != NULL && strcmp(what, "sign") == 0 && g->results[i].code == CODE_OK) {
            g->results[i] = witness_put(plant->folder, g->answers[i]);
            if (g->results[i].code != CODE_OK) {
                json_decref(g->answers[i]);
                g->answers[i] = NULL;
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

static struct result commit(struct plant *plant, struct writer *w)
{
    int64_t from_ns = now_ns();
    struct result r = store_commit(plant->store);
    if (w != NULL) {
        w->commit_ns = now_ns() - from_ns;
    }
    return r;
}

/* One try with those that are not skipped. *out_bad: the request that has to be left out, or the
 * group's count. */
static struct result try_group(struct plant *plant, struct group *g, struct arena *a,
                               size_t *out_bad)
{
    bool shortened = plant->shortened;
    *out_bad = g->count;
    if (plant->stale) {
        TRY(go_back(plant, shortened));
    }
    TRY(store_begin(plant->store));
    *out_bad = pass(plant, g, a);
    bool whole = *out_bad == g->count;
    struct result r = whole ? commit(plant, g->writer) : RESULT_OK;
    if (whole && r.code == CODE_OK) {
        keep_heads(plant, g);
        return RESULT_OK;
    }
    if (!whole && g->results[*out_bad].code == CODE_STORE_FULL) {
        r = g->results[*out_bad]; /* the others would meet the same disk */
    }
    struct result back = go_back(plant, shortened);
    return r.code != CODE_OK ? r : back;
}

static void group_do(struct plant *plant, struct group *g, struct arena *a)
{
    for (;;) {
        size_t bad;
        struct result r = try_group(plant, g, a, &bad);
        if (r.code != CODE_OK) { /* nobody is served */
            fail_all(g, &r);
            return;
        }
        if (bad == g->count) {
            return;
        }
        /* one request failed half way: it alone is left out, the others are taken again from the
         * start */
        g->skip[bad] = true;
        drop(g);
    }
}

void group_take(struct plant *plant, const json_t *const *requests, size_t count,
                struct result *results, json_t **answers)
{
    struct arena a;
    struct group g = {.requests = requests, .results = results, .answers = answers, .count = count};
    CHECK(count <= WRITER_GROUP_MAX);
    arena_init(&a, ARENA_LIMIT_DEFAULT);
    memset(answers, 0, count * sizeof *answers);
    memset(results, 0, count * sizeof *results);
    group_do(plant, &g, &a);
    arena_release(&a);
}

/* Takes what waits through one group; somebody must. The mutex is held, but not while writing. Who
 * was served is woken at once with all others: told one by one, the first of them took the
 * processor from who had to tell the others. -> many asked around it. */
static bool lead(struct writer *w)
{
    struct group *g = &w->group;
    w->led = true;
    g->count = 0;
    g->until_ns = 0;
    join_waiting(w);
    pthread_mutex_unlock(&w->mutex);
    group_do(w->plant, g, &w->arena);
    pthread_mutex_lock(&w->mutex);
    for (size_t i = 0; i < g->count; i++) {
        w->asks[i]->result = w->results[i];
        w->asks[i]->answer = w->answers[i];
        w->asks[i]->answered = true;
    }
    w->expected = g->count + w->queued;
    pthread_cond_broadcast(&w->told);
    return w->expected > 1;
}

/* The writer's own thread: leads from the first group that many asked around to the first that
 * nobody else did, or that nobody came for. */
static void *lead_the_crowd(void *arg)
{
    struct writer *w = arg;
    pthread_mutex_lock(&w->mutex);
    for (;;) {
        while (!w->own_leads && !w->stopping) {
            pthread_cond_wait(&w->crowd, &w->mutex);
        }
        if (!w->own_leads) {
            break;
        }
        if (w->head == NULL) {
            w->group.until_ns = 0;
            wait_for_more(w, &w->group);
        }
        w->own_leads = w->head != NULL && lead(w);
        w->led = w->own_leads;
    }
    pthread_mutex_unlock(&w->mutex);
    return NULL;
}

struct result writer_start(struct plant *plant, struct writer **out)
{
    struct writer *w = calloc(1, sizeof *w);
    CHECK(w != NULL && plant->ledger != NULL);
    w->plant = plant;
    w->group = (struct group){.requests = w->requests,
                              .sums = w->sums,
                              .results = w->results,
                              .answers = w->answers,
                              .writer = w};
    arena_init(&w->arena, ARENA_LIMIT_DEFAULT);
    pthread_mutex_init(&w->mutex, NULL);
    pthread_cond_init(&w->room, NULL);
    pthread_cond_init(&w->idle, NULL);
    pthread_cond_init(&w->told, NULL);
    pthread_cond_init(&w->crowd, NULL);
    int failed = pthread_create(&w->own, NULL, lead_the_crowd, w);
    CHECK(failed == 0);
    *out = w;
    return RESULT_OK;
}

void writer_stop(struct writer *w)
{
    pthread_mutex_lock(&w->mutex);
    while (w->asking > 0) {
        pthread_cond_wait(&w->idle, &w->mutex);
    }
    w->stopping = true;
    pthread_cond_signal(&w->crowd);
    pthread_mutex_unlock(&w->mutex);
    pthread_join(w->own, NULL);
    pthread_cond_destroy(&w->room);
    pthread_cond_destroy(&w->idle);
    pthread_cond_destroy(&w->told);
    pthread_cond_destroy(&w->crowd);
    pthread_mutex_destroy(&w->mutex);
    arena_release(&w->arena);
    free(w);
}

struct result writer_ask(struct writer *w, const json_t *request, json_t **out_answer)
{
    struct command_sum sum; /* worked out here, while others write */
    struct ask ask = {.request = request, .sum = request_sum(request, &sum)};
    pthread_mutex_lock(&w->mutex);
    w->asking++;
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
    if (!w->led) {
        w->own_leads = lead(w);
        w->led = w->own_leads;
        if (w->led) {
            pthread_cond_signal(&w->crowd);
        }
    }
    while (!ask.answered) {
        pthread_cond_wait(&w->told, &w->mutex);
    }
    if (--w->asking == 0) { /* the writer may be gone as soon as this is let go */
        pthread_cond_signal(&w->idle);
    }
    pthread_mutex_unlock(&w->mutex);
    *out_answer = ask.answer;
    return ask.result;
}
