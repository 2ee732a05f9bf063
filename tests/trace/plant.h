/* A made-up plant, minute by minute: batches, lines with carry-over, tanks that are topped up, and
 * rework. It is walked twice from the rules alone:
 *
 * - by the record keeper, who sees lots, intervals and carry-over times and writes edges;
 * - by the naive walk, which follows what lies in every vessel in every minute and keeps for every
 *   lot the whole set of lots that it can hold, and what it is made of, root by root.
 *
 * The two share no code beyond the events themselves. */
#ifndef TESTS_TRACE_PLANT_H
#define TESTS_TRACE_PLANT_H

#include "base/random.h"
#include "trace/graph.h"

enum { PLANT_LOTS_MAX = 192, PLANT_EDGES_MAX = 4096, PLANT_SET_WORDS = PLANT_LOTS_MAX / 64 };

struct plant_lot {
    int64_t id;
    uint64_t holds[PLANT_SET_WORDS];      /* lots by index, itself among them */
    uint64_t holds_sure[PLANT_SET_WORDS]; /* without what only an unknown carry-over could bring */
    double part[PLANT_LOTS_MAX];          /* by root: expected share by mass */
    bool is_root;
};

struct plant {
    struct plant_lot lot[PLANT_LOTS_MAX];
    size_t lot_count;
    struct graph_edge edge[PLANT_EDGES_MAX];
    size_t edge_count;
};

/* Plays the plant for some hundred minutes. Lot ids grow with birth, with gaps. */
void plant_play(struct plant *p, struct random *r);

static inline bool plant_set_has(const uint64_t *set, size_t lot)
{
    return set[lot / 64] >> (lot % 64) & 1;
}

#endif
