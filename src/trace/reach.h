/* Which lots can hold something of the start lots (forward), or went into them (back). */
#ifndef TRACE_REACH_H
#define TRACE_REACH_H

#include "trace/graph.h"

enum direction { TRACE_FORWARD, TRACE_BACK };

struct reach {
    enum direction direction;
    unsigned bases;  /* edges of these bases were followed: BASES_ALL ... */
    uint64_t *seen;  /* a bit per position; starts are among them */
    uint32_t *order; /* the positions reached: forward each lot after all its reached parents, back
                        each lot after all its reached children */
    uint32_t count;
};

/* starts: positions, may repeat. Linear in the lots reached and their edges, plus one bit per lot
 * of the graph. The caller releases *out. */
void reach_run(const struct graph *g, const uint32_t *starts, size_t start_count,
               enum direction direction, unsigned bases, struct reach *out);
void reach_release(struct reach *r);

static inline bool reach_has(const struct reach *r, uint32_t position)
{
    return r->seen[position >> 6] >> (position & 63) & 1;
}

#endif
