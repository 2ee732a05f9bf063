/* Which lots came out of a lot, and which it came from, by the edges in force; and the set of
 * numbers that such walks need. */
#ifndef LEDGER_KIN_H
#define LEDGER_KIN_H

#include "base/result.h"
#include "store/store.h"

/* A set of numbers that keeps the order in which they came. All of it lives in the arena. */
struct id_set {
    struct arena *arena;
    int64_t *id; /* 0 .. count - 1, in order of arrival */
    size_t count, room;
    uint32_t *slot; /* index + 1 into id; 0 free */
    size_t slots;
};

struct id_set id_set_new(struct arena *a);
/* false: it was there already. */
bool id_set_add(struct id_set *set, int64_t id);
bool id_set_has(const struct id_set *set, int64_t id);
/* Its index; it must be there. */
size_t id_set_at(const struct id_set *set, int64_t id);

/* Adds to the set every lot that can hold something of the lots in it. */
MUST_USE struct result kin_onward(struct store *s, struct id_set *lots);
/* Adds to the set every lot of which the lots in it can hold something. */
MUST_USE struct result kin_back(struct store *s, struct id_set *lots);

#endif
