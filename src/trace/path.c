#include "trace/path.h"

#include "trace/memory.h"

/* distance[p]: 1 for a start, 1 more a step, 0 where the search did not come. Stops at target. */
static uint32_t *measure(const struct graph *g, const uint32_t *starts, size_t start_count,
                         bool forward, unsigned bases, uint32_t target)
{
    uint32_t *distance = MEMORY_ZERO(uint32_t, g->lot_count);
    uint32_t *queue = MEMORY_TAKE(uint32_t, g->lot_count);
    uint32_t used = 0;
    for (size_t i = 0; i < start_count; i++) {
        if (distance[starts[i]] == 0) {
            distance[starts[i]] = 1;
            queue[used++] = starts[i];
        }
    }
    for (uint32_t head = 0; head < used && distance[target] == 0; head++) {
        struct graph_walk w = graph_walk_begin(g, queue[head], forward);
        struct graph_step step;
        while (graph_walk_next(&w, &step)) {
            if ((bases >> step.basis & 1) != 0 && distance[step.position] == 0) {
                distance[step.position] = distance[queue[head]] + 1;
                queue[used++] = step.position;
            }
        }
    }
    free(queue);
    return distance;
}

/* Of several edges between two lots the one of the lowest entry. */
static struct path_step edge_between(const struct graph *g, unsigned bases, uint32_t parent,
                                     uint32_t child)
{
    struct path_step best = {.entry = INT64_MAX};
    struct graph_walk w = graph_walk_begin(g, parent, true);
    struct graph_step step;
    while (graph_walk_next(&w, &step)) {
        if (step.position == child && (bases >> step.basis & 1) != 0 && step.entry < best.entry) {
            best =
                (struct path_step){g->lot[parent], g->lot[child], step.entry, step.mg, step.basis};
        }
    }
    return best;
}

/* The lot one step nearer to the starts; of several the one with the lowest id. */
static uint32_t nearer(const struct graph *g, const uint32_t *distance, bool forward,
                       unsigned bases, uint32_t position)
{
    uint32_t best = UINT32_MAX;
    struct graph_walk w = graph_walk_begin(g, position, !forward);
    struct graph_step step;
    while (graph_walk_next(&w, &step)) {
        if ((bases >> step.basis & 1) != 0 && distance[step.position] == distance[position] - 1 &&
            (best == UINT32_MAX || g->lot[step.position] < g->lot[best])) {
            best = step.position;
        }
    }
    CHECK(best != UINT32_MAX);
    return best;
}

bool path_find(const struct graph *g, const uint32_t *starts, size_t start_count,
               enum direction direction, unsigned bases, uint32_t target, struct arena *a,
               struct path_step **out, size_t *out_count)
{
    static const unsigned better[] = {BASES_MEASURED, BASES_WITHOUT_UNKNOWN, BASES_ALL};
    bool forward = direction == TRACE_FORWARD;
    uint32_t *distance = NULL;
    unsigned allowed = 0;
    for (size_t i = 0; i < sizeof better / sizeof better[0]; i++) {
        free(distance);
        allowed = better[i] & bases;
        distance = measure(g, starts, start_count, forward, allowed, target);
        if (distance[target] != 0) {
            break;
        }
    }
    bool found = distance[target] != 0;
    *out_count = found ? distance[target] - 1 : 0;
    *out = ARENA_ARRAY(a, struct path_step, *out_count);
    uint32_t position = target;
    for (size_t i = *out_count; i-- > 0;) {
        uint32_t before = nearer(g, distance, forward, allowed, position);
        (*out)[i] = forward ? edge_between(g, allowed, before, position)
                            : edge_between(g, allowed, position, before);
        position = before;
    }
    free(distance);
    return found;
}
