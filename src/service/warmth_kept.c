#include "service/warmth_kept.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/check.h"

/* More than a house has chambers: 300 pieces of 48 bytes each, 7 MB at most. */
enum { SLOTS = 512 };

struct slot {
    struct warmth_stamp stamp; /* lot 0: empty */
    struct warmth sum;
    struct warmth_piece *pieces;
    size_t count;
    uint64_t asked;
};

struct warmth_kept {
    pthread_mutex_t mutex;
    uint64_t asked;
    struct slot slots[SLOTS];
};

struct warmth_kept *warmth_kept_new(void)
{
    struct warmth_kept *k = calloc(1, sizeof *k);
    CHECK(k != NULL);
    pthread_mutex_init(&k->mutex, NULL);
    return k;
}

void warmth_kept_free(struct warmth_kept *k)
{
    if (k == NULL) {
        return;
    }
    for (size_t i = 0; i < SLOTS; i++) {
        free(k->slots[i].pieces);
    }
    pthread_mutex_destroy(&k->mutex);
    free(k);
}

/* The mutex is held. NULL: it is not there. */
static struct slot *find(struct warmth_kept *k, int64_t lot)
{
    for (size_t i = 0; i < SLOTS; i++) {
        if (k->slots[i].stamp.lot == lot) {
            k->slots[i].asked = ++k->asked;
            return &k->slots[i];
        }
    }
    return NULL;
}

/* The mutex is held. An empty one was never asked for. */
static struct slot *least_asked(struct warmth_kept *k)
{
    struct slot *least = &k->slots[0];
    for (size_t i = 1; i < SLOTS; i++) {
        least = k->slots[i].asked < least->asked ? &k->slots[i] : least;
    }
    return least;
}

/* Whether a piece adds the same under both. */
static bool alike(const struct warmth_stamp *x, const struct warmth_stamp *y)
{
    return x->lot == y->lot && x->from_ms == y->from_ms && x->crop.base_mc == y->crop.base_mc &&
           x->crop.optimum_mc == y->crop.optimum_mc;
}

bool warmth_kept_sum(struct warmth_kept *k, const struct warmth_stamp *stamp, struct warmth *out)
{
    if (k == NULL) {
        return false;
    }
    pthread_mutex_lock(&k->mutex);
    const struct slot *slot = find(k, stamp->lot);
    const struct warmth_stamp *is = slot != NULL ? &slot->stamp : NULL;
    bool same = is != NULL && alike(is, stamp) && is->count == stamp->count &&
                is->newest == stamp->newest && is->struck == stamp->struck &&
                is->crop.goal_mc_h == stamp->crop.goal_mc_h &&
                is->set_point_mc == stamp->set_point_mc;
    if (same) {
        *out = slot->sum;
    }
    pthread_mutex_unlock(&k->mutex);
    return same;
}

void warmth_kept_pieces(struct warmth_kept *k, struct arena *a, const struct warmth_stamp *stamp,
                        struct warmth_piece **out, size_t *out_count)
{
    *out = NULL;
    *out_count = 0;
    if (k == NULL) {
        return;
    }
    pthread_mutex_lock(&k->mutex);
    const struct slot *slot = find(k, stamp->lot);
    if (slot != NULL && alike(&slot->stamp, stamp) && slot->count > 0) {
        *out = ARENA_ARRAY(a, struct warmth_piece, slot->count);
        memcpy(*out, slot->pieces, slot->count * sizeof **out);
        *out_count = slot->count;
    }
    pthread_mutex_unlock(&k->mutex);
}

void warmth_kept_put(struct warmth_kept *k, const struct warmth_stamp *stamp,
                     const struct warmth *sum, const struct warmth_piece *pieces, size_t count)
{
    if (k == NULL) {
        return;
    }
    struct warmth_piece *copy = NULL;
    if (count > 0) {
        copy = malloc(count * sizeof *copy);
        CHECK(copy != NULL);
        memcpy(copy, pieces, count * sizeof *copy);
    }
    pthread_mutex_lock(&k->mutex);
    struct slot *slot = find(k, stamp->lot);
    slot = slot != NULL ? slot : least_asked(k);
    struct warmth_piece *old = slot->pieces;
    *slot = (struct slot){*stamp, *sum, copy, count, ++k->asked};
    pthread_mutex_unlock(&k->mutex);
    free(old);
}
