#include "web/readers.h"

#include <pthread.h>
#include <stdlib.h>

#include "base/check.h"
#include "base/json.h"
#include "service/day_orders.h"
#include "service/sentences.h"
#include "service/warmth_kept.h"
#include "trace/follow.h"
#include "web/limits.h"

/* A profile that is or was in force; freed when it is not and nobody reads by it. */
struct kept_profile {
    struct kept_profile *next;
    int64_t entry;
    struct profile *profile;
    struct sentences *sentences;
    size_t used;
};

struct readers {
    struct world world;
    pthread_mutex_t mutex;
    pthread_cond_t given;
    struct plant *free[WEB_READERS];
    size_t free_count, count;
    struct kept_profile *profiles;
    struct day_orders *day_orders;
    struct warmth_kept *warmth;
    pthread_rwlock_t graph_lock;
    struct graph *graph;
    int64_t graph_size;
};

static void profile_drop(struct kept_profile *k)
{
    profile_free(k->profile);
    sentences_free(k->sentences);
    free(k);
}

struct result readers_open(const char *folder, struct world world, struct readers **out)
{
    struct readers *r = calloc(1, sizeof *r);
    CHECK(r != NULL);
    r->world = world;
    r->day_orders = day_orders_new();
    r->warmth = warmth_kept_new();
    pthread_mutex_init(&r->mutex, NULL);
    pthread_cond_init(&r->given, NULL);
    pthread_rwlock_init(&r->graph_lock, NULL);
    for (; r->count < WEB_READERS; r->count++) {
        struct plant **plant = &r->free[r->count];
        struct result opened = plant_open_read(folder, plant);
        if (opened.code != CODE_OK) {
            r->free_count = r->count;
            readers_close(r);
            return opened;
        }
        (*plant)->world = world;
    }
    r->free_count = r->count;
    *out = r;
    return RESULT_OK;
}

void readers_close(struct readers *r)
{
    CHECK(r->free_count == r->count);
    for (size_t i = 0; i < r->count; i++) {
        plant_close(r->free[i]);
    }
    while (r->profiles != NULL) {
        struct kept_profile *next = r->profiles->next;
        profile_drop(r->profiles);
        r->profiles = next;
    }
    if (r->graph != NULL) {
        graph_free(r->graph);
    }
    day_orders_free(r->day_orders);
    warmth_kept_free(r->warmth);
    pthread_rwlock_destroy(&r->graph_lock);
    pthread_cond_destroy(&r->given);
    pthread_mutex_destroy(&r->mutex);
    free(r);
}

static struct result number_of(struct statement *q, int64_t *out, bool *out_row)
{
    bool row;
    TRY(store_step(q, &row));
    *out = row ? store_int(q, 0) : 0;
    *out_row = row;
    while (row) {
        TRY(store_step(q, &row));
    }
    return RESULT_OK;
}

/* The mutex is held. */
static struct kept_profile *kept_find(struct readers *r, int64_t entry)
{
    for (struct kept_profile *k = r->profiles; k != NULL; k = k->next) {
        if (k->entry == entry) {
            return k;
        }
    }
    return NULL;
}

/* The mutex is held. Lets go of those that nobody uses, the one in force apart. */
static void kept_sweep(struct readers *r, const struct kept_profile *in_force)
{
    for (struct kept_profile **at = &r->profiles; *at != NULL;) {
        struct kept_profile *k = *at;
        if (k->used > 0 || k == in_force) {
            at = &k->next;
            continue;
        }
        *at = k->next;
        profile_drop(k);
    }
}

static struct result profile_load(struct store *store, int64_t now_ms, struct profile **out)
{
    struct statement *q = store_prepare(store, Q_PROFILE_IN_FORCE);
    store_bind_int(q, 1, now_ms);
    bool row;
    TRY(store_step(q, &row));
    size_t len = 0;
    const void *text = row ? store_bytes(q, 1, &len) : NULL;
    struct result r = text != NULL ? profile_read(text, len, out)
                                   : FAIL1(STORE_DAMAGED, "", "the profile's text is missing");
    while (row) {
        TRY(store_step(q, &row));
    }
    return r;
}

static struct result use_profile(struct reading *reading)
{
    struct readers *r = reading->owner;
    struct statement *q = store_prepare(reading->plant->store, Q_PROFILE_ENTRY_IN_FORCE);
    int64_t entry;
    bool found;
    store_bind_int(q, 1, reading->now_ms);
    TRY(number_of(q, &entry, &found));
    if (!found) {
        return RESULT_OK;
    }
    pthread_mutex_lock(&r->mutex);
    struct kept_profile *k = kept_find(r, entry);
    struct profile *profile = NULL;
    struct result result = RESULT_OK;
    if (k == NULL) { /* seldom: the others wait */
        result = profile_load(reading->plant->store, reading->now_ms, &profile);
        if (result.code == CODE_OK) {
            k = calloc(1, sizeof *k);
            CHECK(k != NULL);
            *k = (struct kept_profile){.next = r->profiles,
                                       .entry = entry,
                                       .profile = profile,
                                       .sentences = sentences_new()};
            r->profiles = k;
            kept_sweep(r, k);
        }
    }
    if (k != NULL) {
        k->used++;
        reading->kept = k;
        reading->profile = k->profile;
        reading->sentences = k->sentences;
    }
    pthread_mutex_unlock(&r->mutex);
    return result;
}

/* The lock is held for writing. */
static struct result graph_advance(struct readers *r, struct store *store, int64_t size)
{
    struct statement *q = store_prepare(store, Q_DAYBOOK_EFFECTS_AFTER);
    bool row;
    store_bind_int(q, 1, r->graph_size);
    store_bind_int(q, 2, size);
    TRY(store_step(q, &row));
    while (row) {
        json_t *body = NULL;
        struct result result = json_read_stored(store_text(q, 2), &body);
        if (result.code == CODE_OK) {
            result = graph_follow(r->graph, store_int(q, 0), json_object_get(body, "effects"));
        }
        json_decref(body);
        TRY(result);
        TRY(store_step(q, &row));
    }
    r->graph_size = size;
    return RESULT_OK;
}

static struct result graph_bring(struct readers *r, struct store *store, int64_t size)
{
    struct result result = RESULT_OK;
    pthread_rwlock_wrlock(&r->graph_lock);
    if (r->graph != NULL && r->graph_size < size) {
        result = graph_advance(r, store, size);
        if (result.code != CODE_OK) { /* it may lack a part of an entry */
            graph_free(r->graph);
            r->graph = NULL;
        }
    }
    if (r->graph == NULL) {
        result = graph_load(store, &r->graph);
        r->graph_size = size;
    }
    pthread_rwlock_unlock(&r->graph_lock);
    return result;
}

static struct result begin_at(struct reading *reading)
{
    bool found;
    TRY(store_begin(reading->plant->store));
    return number_of(store_prepare(reading->plant->store, Q_RECORD_SIZE), &reading->size, &found);
}

/* A reader whose state is older than the graph's begins anew: it then sees at least as much. */
static struct result begin_with_graph(struct reading *reading)
{
    struct readers *r = reading->owner;
    for (;;) {
        TRY(begin_at(reading));
        TRY(graph_bring(r, reading->plant->store, reading->size));
        pthread_rwlock_rdlock(&r->graph_lock);
        if (r->graph != NULL && r->graph_size == reading->size) {
            reading->graph = r->graph;
            return RESULT_OK;
        }
        pthread_rwlock_unlock(&r->graph_lock);
        store_rollback(reading->plant->store);
    }
}

struct result reading_take(struct readers *r, struct reading *out)
{
    *out = (struct reading){.owner = r,
                            .day_orders = r->day_orders,
                            .warmth = r->warmth,
                            .now_ms = r->world.now_ms(r->world.self)};
    pthread_mutex_lock(&r->mutex);
    while (r->free_count == 0) {
        pthread_cond_wait(&r->given, &r->mutex);
    }
    out->plant = r->free[--r->free_count];
    pthread_mutex_unlock(&r->mutex);
    return RESULT_OK;
}

struct result reading_begin(struct readers *r, bool with_graph, struct reading *out)
{
    TRY(reading_take(r, out));
    TRY(with_graph ? begin_with_graph(out) : begin_at(out));
    return use_profile(out);
}

void reading_end(struct reading *reading)
{
    struct readers *r = reading->owner;
    if (reading->graph != NULL) {
        pthread_rwlock_unlock(&r->graph_lock);
    }
    store_rollback(reading->plant->store);
    pthread_mutex_lock(&r->mutex);
    if (reading->kept != NULL) {
        reading->kept->used--;
    }
    r->free[r->free_count++] = reading->plant;
    pthread_cond_signal(&r->given);
    pthread_mutex_unlock(&r->mutex);
    *reading = (struct reading){.owner = r};
}
