#include "trace/reach.h"

#include "trace/memory.h"

static inline void mark(uint64_t *seen, uint32_t position)
{
    seen[position >> 6] |= UINT64_C(1) << (position & 63);
}

static inline bool follows(unsigned bases, enum basis basis)
{
    return bases >> basis & 1;
}

/* Marks everything one step from the lots first .. last, whose packed edges lie side by side. */
static inline void mark_next(const struct graph *g, const struct reach *r, uint32_t first,
                             uint32_t last, bool forward)
{
    const struct graph_side *side = forward ? &g->out : &g->in;
    uint32_t end = side->offset[last + 1];
    for (uint32_t k = side->offset[first]; k < end; k++) {
        uint32_t link = side->link[k], position = LINK_POSITION(link);
        uint64_t followed = r->bases >> LINK_BASIS(link) & 1;
        r->seen[position >> 6] |= followed << (position & 63);
    }
    if (g->late_count == 0) {
        return;
    }
    for (uint32_t p = first; p <= last; p++) {
        for (uint32_t next = forward ? g->late_out[p] : g->late_in[p]; next != 0;) {
            const struct graph_late *l = &g->late[next - 1];
            if (follows(r->bases, l->basis)) {
                mark(r->seen, forward ? l->child : l->parent);
            }
            next = forward ? l->next_out : l->next_in;
        }
    }
}

/* Every edge leads up, so one walk up the bits meets each lot when its parents are done. Lots that
 * stand side by side and are all reached go in one piece. */
static void walk_up(const struct graph *g, struct reach *r, uint32_t lowest)
{
    size_t words = ((size_t)g->lot_count + 63) / 64;
    for (size_t w = lowest / 64; w < words; w++) {
        for (uint64_t todo = r->seen[w]; todo != 0;) {
            unsigned low = (unsigned)__builtin_ctzll(todo);
            uint64_t above = ~(todo >> low); /* its lowest bit: where the run ends */
            unsigned length = above != 0 ? (unsigned)__builtin_ctzll(above) : 64;
            uint32_t first = (uint32_t)(w * 64 + low), last = first + length - 1;
            for (uint32_t i = 0; i < length && r->order != NULL; i++) {
                r->order[r->count + i] = first + i;
            }
            r->count += length;
            mark_next(g, r, first, last, true);
            unsigned next = low + length; /* new ones may stand in this word, above the run */
            todo = next < 64 ? r->seen[w] & ~UINT64_C(0) << next : 0;
        }
    }
}

static void walk_down(const struct graph *g, struct reach *r, uint32_t highest)
{
    for (size_t w = (size_t)highest / 64 + 1; w-- > 0;) {
        for (uint64_t todo = r->seen[w]; todo != 0;) {
            unsigned high = 63 - (unsigned)__builtin_clzll(todo);
            uint64_t below = ~(todo << (63 - high));
            unsigned length = below != 0 ? (unsigned)__builtin_clzll(below) : 64;
            uint32_t last = (uint32_t)(w * 64 + high), first = last + 1 - length;
            for (uint32_t i = 0; i < length && r->order != NULL; i++) {
                r->order[r->count + i] = last - i;
            }
            r->count += length;
            mark_next(g, r, first, last, false);
            unsigned next = high + 1 - length;
            todo = r->seen[w] & ((UINT64_C(1) << next) - 1);
        }
    }
}

/* With edges against the order of positions: find the lots first, any order. */
static void walk_queue(const struct graph *g, struct reach *r)
{
    for (uint32_t p = 0; p < g->lot_count; p++) {
        if (reach_has(r, p)) {
            r->order[r->count++] = p;
        }
    }
    for (uint32_t head = 0; head < r->count; head++) {
        struct graph_walk w = graph_walk_begin(g, r->order[head], r->direction == TRACE_FORWARD);
        struct graph_step step;
        while (graph_walk_next(&w, &step)) {
            if (follows(r->bases, step.basis) && !reach_has(r, step.position)) {
                mark(r->seen, step.position);
                r->order[r->count++] = step.position;
            }
        }
    }
}

/* Puts r->order in the promised order: a lot goes out once all reached edges into it are used up.
 */
static void sort_reached(const struct graph *g, struct reach *r)
{
    bool forward = r->direction == TRACE_FORWARD;
    uint32_t *waiting =
        MEMORY_ZERO(uint32_t, g->lot_count); /* edges from reached lots not yet out */
    for (uint32_t i = 0; i < r->count; i++) {
        struct graph_walk w = graph_walk_begin(g, r->order[i], forward);
        struct graph_step step;
        while (graph_walk_next(&w, &step)) {
            waiting[step.position] += follows(r->bases, step.basis);
        }
    }
    uint32_t *sorted = MEMORY_TAKE(uint32_t, g->lot_count);
    uint32_t used = 0;
    for (uint32_t i = 0; i < r->count; i++) {
        if (waiting[r->order[i]] == 0) {
            sorted[used++] = r->order[i];
        }
    }
    for (uint32_t head = 0; head < used; head++) {
        struct graph_walk w = graph_walk_begin(g, sorted[head], forward);
        struct graph_step step;
        while (graph_walk_next(&w, &step)) {
            if (follows(r->bases, step.basis) && --waiting[step.position] == 0) {
                sorted[used++] = step.position;
            }
        }
    }
    CHECK(used == r->count); /* the graph has no cycle */
    free(r->order);
    free(waiting);
    r->order = sorted;
}

static void run(const struct graph *g, const uint32_t *starts, size_t start_count, struct reach *r)
{
    uint32_t lowest = UINT32_MAX, highest = 0;
    for (size_t i = 0; i < start_count; i++) {
        CHECK(starts[i] < g->lot_count);
        mark(r->seen, starts[i]);
        lowest = starts[i] < lowest ? starts[i] : lowest;
        highest = starts[i] > highest ? starts[i] : highest;
    }
    if (g->against_count > 0) {
        walk_queue(g, r);
        sort_reached(g, r);
    } else if (r->direction == TRACE_FORWARD) {
        walk_up(g, r, lowest);
    } else {
        walk_down(g, r, highest);
    }
}

void reach_run(const struct graph *g, const uint32_t *starts, size_t start_count,
               enum direction direction, unsigned bases, struct reach *out)
{
    *out = (struct reach){.direction = direction,
                          .bases = bases,
                          .seen = MEMORY_ZERO(uint64_t, (size_t)g->lot_count / 64 + 1),
                          .order = MEMORY_TAKE(uint32_t, g->lot_count)};
    run(g, starts, start_count, out);
}

void reach_mark(const struct graph *g, const uint32_t *starts, size_t start_count,
                enum direction direction, unsigned bases, struct reach *out)
{
    *out = (struct reach){.direction = direction,
                          .bases = bases,
                          .seen = MEMORY_ZERO(uint64_t, (size_t)g->lot_count / 64 + 1)};
    if (g->against_count > 0) {
        out->order = MEMORY_TAKE(uint32_t, g->lot_count);
    }
    run(g, starts, start_count, out);
}

struct reach_walk reach_walk_begin(const struct reach *r, const struct graph *g)
{
    size_t words = (size_t)g->lot_count / 64 + 1;
    return (struct reach_walk){
        .reach = r, .word = r->direction == TRACE_FORWARD ? SIZE_MAX : words, .words_left = words};
}

void reach_release(struct reach *r)
{
    free(r->seen);
    free(r->order);
    *r = (struct reach){.count = 0};
}
