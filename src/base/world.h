/* What makes a run differ from the last one comes in through here, so that tests and the demo can
 * hold it still. */
#ifndef BASE_WORLD_H
#define BASE_WORLD_H

#include <stddef.h>
#include <stdint.h>

struct world {
    /* Now, ms UTC. */
    int64_t (*now_ms)(void *self);
    /* Fills with random bytes (UUIDs, keys). */
    void (*random)(void *self, void *out, size_t len);
    void *self;
};

/* The machine's clock and random source. */
struct world world_real(void);

/* A clock that stands where it is put, and a seeded random source. */
struct world_fixed {
    int64_t now_ms;
    uint64_t state;
};
struct world world_fixed(struct world_fixed *self);

#endif
