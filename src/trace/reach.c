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

/* Marks everything one step from a lot. all: every basis is followed, which needs no look at it. */
static inline void mark_next(const struct graph *g, const struct reach *r, uint32_t position,
                             bool forward, bool all)
{
    const struct graph_side *side = forward ? &g->out : &g->in;
    uint32_t end = side->offset[position + 1];
    for (uint32_t k = side->offset[position]; k < end; k++) {
        uint32_t link = side->link[k];
        if (all || follows(r->bases, LINK_BASIS(link))) {
            mark(r->seen, LINK_POSITION(link));
        }
    }
    if (g->late_count == 0) {
        return;
    }
    uint32_t next = forward ? g->late_out[position] : g->late_in[position];
    while (next != 0) {
        const struct graph_late *l = &g->late[next - 1];
        if (follows(r->bases, l->basis)) {
            mark(r->seen, forward ? l->child : l->parent);
        }
        next = forward ? l->next_out : l->next_in;
    }
}

/* Every edge leads up, so one walk up the bits meets each lot when its parents are done. */
static inline void walk_up(const struct graph *g, struct reach *r, bool all)
{
    size_t words = ((size_t)g->lot_count + 63) / 64;
    for (size_t w = 0; w < words; w++) {
        uint64_t todo = r->seen[w];
        while (todo != 0) {
            unsigned bit = (unsigned)__builtin_ctzll(todo);
            uint32_t position = (uint32_t)(w * 64 + bit);
            r->order[r->count++] = position;
            mark_next(g, r, position, true, all);
            todo = r->seen[w] & (~UINT64_C(1) << bit); /* new ones may stand in this word, above */
        }
    }
}

static inline void walk_down(const struct graph *g, struct reach *r, bool all)
{
    for (size_t w = ((size_t)g->lot_count + 63) / 64; w-- > 0;) {
        uint64_t todo = r->seen[w];
        while (todo != 0) {
            unsigned bit = 63 - (unsigned)__builtin_clzll(todo);
            uint32_t position = (uint32_t)(w * 64 + bit);
            r->order[r->count++] = position;
            mark_next(g, r, position, false, all);
            todo = r->seen[w] & ((UINT64_C(1) << bit) - 1);
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

void reach_run(const struct graph *g, const uint32_t *starts, size_t start_count,
               enum direction direction, unsigned bases, struct reach *out)
{
    *out = (struct reach){.direction = direction, .bases = bases};
    out->seen = MEMORY_ZERO(uint64_t, (size_t)g->lot_count / 64 + 1);
    out->order = MEMORY_TAKE(uint32_t, g->lot_count);
    for (size_t i = 0; i < start_count; i++) {
        CHECK(starts[i] < g->lot_count);
        mark(out->seen, starts[i]);
    }
    bool all = bases == BASES_ALL;
    if (g->against_count > 0) {
        walk_queue(g, out);
        sort_reached(g, out);
    } else if (direction == TRACE_FORWARD) {
        if (all) {
            walk_up(g, out, true);
        } else {
            walk_up(g, out, false);
        }
    } else if (all) {
        walk_down(g, out, true);
    } else {
        walk_down(g, out, false);
    }
}

void reach_release(struct reach *r)
{
    free(r->seen);
    free(r->order);
    *r = (struct reach){.count = 0};
}
