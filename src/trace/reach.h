/* Which lots can hold something of the start lots (forward), or went into them (back). */
#ifndef TRACE_REACH_H
#define TRACE_REACH_H

#include "trace/graph.h"

enum direction { TRACE_FORWARD, TRACE_BACK };

struct reach {
    enum direction direction;
    unsigned bases; /* edges of these bases were followed: BASES_ALL ... */
    uint64_t *seen; /* a bit per position; starts are among them */
    uint32_t count;
    uint32_t *order; /* the positions reached: forward each lot after all its reached parents, back
                        each lot after all its reached children; may be NULL after reach_mark: then
                        ascending positions are that order forward, descending ones back */
};

/* starts: positions, may repeat. Linear in the lots reached and their edges, plus one bit per lot
 * of the graph. The caller releases *out. */
void reach_run(const struct graph *g, const uint32_t *starts, size_t start_count,
               enum direction direction, unsigned bases, struct reach *out);
/* The same without writing the order down where that of the positions will do. */
void reach_mark(const struct graph *g, const uint32_t *starts, size_t start_count,
                enum direction direction, unsigned bases, struct reach *out);
void reach_release(struct reach *r);

/* The lots reached, one by one in their order. */
struct reach_walk {
    const struct reach *reach;
    uint32_t next; /* in order */
    size_t word;   /* in seen, where there is no order */
    uint64_t todo; /* bits of that word not given yet */
    size_t words_left;
};

struct reach_walk reach_walk_begin(const struct reach *r, const struct graph *g);

static inline bool reach_walk_next(struct reach_walk *w, uint32_t *out_position)
{
    const struct reach *r = w->reach;
    if (r->order != NULL) {
        if (w->next == r->count) {
            return false;
        }
        *out_position = r->order[w->next++];
        return true;
    }
    while (w->todo == 0) {
        if (w->words_left == 0) {
            return false;
        }
        w->words_left--;
        w->word += r->direction == TRACE_FORWARD ? 1 : SIZE_MAX;
        w->todo = r->seen[w->word];
    }
    unsigned bit = r->direction == TRACE_FORWARD ? (unsigned)__builtin_ctzll(w->todo)
                                                 : 63 - (unsigned)__builtin_clzll(w->todo);
    w->todo &= ~(UINT64_C(1) << bit);
    *out_position = (uint32_t)(w->word * 64 + bit);
    return true;
}

static inline bool reach_has(const struct reach *r, uint32_t position)
{
    return r->seen[position >> 6] >> (position & 63) & 1;
}

#endif
