#include "service/day_orders.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>

#include "base/check.h"
#include "plan/day_digest.h"

/* Today, and the days that somebody looks through; each with blocks and without. */
enum { SLOTS = 16 };

struct slot {
    struct hash day;
    int count; /* jobs; 0: empty */
    int order[DAY_JOBS_MAX];
};

struct day_orders {
    pthread_mutex_t mutex;
    size_t next; /* whose room is taken next */
    struct slot slots[SLOTS];
};

struct day_orders *day_orders_new(void)
{
    struct day_orders *o = calloc(1, sizeof *o);
    CHECK(o != NULL);
    pthread_mutex_init(&o->mutex, NULL);
    return o;
}

void day_orders_free(struct day_orders *o)
{
    if (o == NULL) {
        return;
    }
    pthread_mutex_destroy(&o->mutex);
    free(o);
}

/* The mutex is held. NULL: it is not there. */
static struct slot *find(struct day_orders *o, const struct hash *day)
{
    for (size_t i = 0; i < SLOTS; i++) {
        if (o->slots[i].count > 0 && hash_equal(&o->slots[i].day, day)) {
            return &o->slots[i];
        }
    }
    return NULL;
}

static void keep(struct day_orders *o, const struct hash *day, const struct day_sequence *s)
{
    pthread_mutex_lock(&o->mutex);
    if (find(o, day) == NULL) { /* another thread may have been as far */
        struct slot *slot = &o->slots[o->next++ % SLOTS];
        slot->day = *day;
        slot->count = s->p->job_count;
        memcpy(slot->order, s->order, (size_t)slot->count * sizeof(int));
    }
    pthread_mutex_unlock(&o->mutex);
}

struct day_sequence *day_orders_sequence(struct day_orders *o, struct arena *a,
                                         const struct day_problem *p)
{
    if (o == NULL || p->job_count == 0) {
        return day_search(a, p, DAY_ROUNDS);
    }
    struct hash day = day_digest(p);
    struct day_sequence *s = day_sequence_new(a, p);
    pthread_mutex_lock(&o->mutex);
    const struct slot *slot = find(o, &day);
    if (slot != NULL) {
        memcpy(s->order, slot->order, (size_t)slot->count * sizeof(int));
    }
    pthread_mutex_unlock(&o->mutex);
    if (slot == NULL) {
        s = day_search(a, p, DAY_ROUNDS);
        keep(o, &day, s);
    } else {
        day_walk(s, p->job_count);
    }
    return s;
}
