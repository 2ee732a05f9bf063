#include "ledger/kin.h"

#include <string.h>

#include "base/check.h"

struct id_set id_set_new(struct arena *a)
{
    return (struct id_set){.arena = a};
}

/* Fibonacci hashing: the high bits of id times 2^64 / golden ratio (Knuth 1998, The Art of Computer
 * Programming 3, 6.4). */
static size_t slot_of(const struct id_set *set, int64_t id)
{
    size_t at = (size_t)((uint64_t)id * UINT64_C(0x9E3779B97F4A7C15) >> 32) & (set->slots - 1);
    while (set->slot[at] != 0 && set->id[set->slot[at] - 1] != id) {
        at = (at + 1) & (set->slots - 1);
    }
    return at;
}

static void grow(struct id_set *set)
{
    size_t room = set->room != 0 ? set->room * 2 : 32;
    CHECK(room < UINT32_MAX);
    int64_t *id = ARENA_ARRAY(set->arena, int64_t, room);
    if (set->count > 0) {
        memcpy(id, set->id, set->count * sizeof *id);
    }
    set->id = id;
    set->room = room;
    set->slots = room * 2;
    set->slot = ARENA_ARRAY(set->arena, uint32_t, set->slots);
    for (size_t i = 0; i < set->count; i++) {
        set->slot[slot_of(set, id[i])] = (uint32_t)i + 1;
    }
}

bool id_set_add(struct id_set *set, int64_t id)
{
    if (set->count == set->room) {
        grow(set);
    }
    size_t at = slot_of(set, id);
    if (set->slot[at] != 0) {
        return false;
    }
    set->id[set->count++] = id;
    set->slot[at] = (uint32_t)set->count;
    return true;
}

bool id_set_has(const struct id_set *set, int64_t id)
{
    return set->count > 0 && set->slot[slot_of(set, id)] != 0;
}

size_t id_set_at(const struct id_set *set, int64_t id)
{
    CHECK(id_set_has(set, id));
    return set->slot[slot_of(set, id)] - 1;
}

static struct result walk(struct store *s, struct id_set *lots, enum query query)
{
    for (size_t i = 0; i < lots->count; i++) {
        struct statement *q = store_prepare(s, query);
        store_bind_int(q, 1, lots->id[i]);
        bool row;
        for (;;) {
            TRY(store_step(q, &row));
            if (!row) {
                break;
            }
            id_set_add(lots, store_int(q, 0));
        }
    }
    return RESULT_OK;
}

struct result kin_onward(struct store *s, struct id_set *lots)
{
    return walk(s, lots, Q_KIN_CHILDREN);
}

struct result kin_back(struct store *s, struct id_set *lots)
{
    return walk(s, lots, Q_KIN_PARENTS);
}
