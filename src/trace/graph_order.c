#include "trace/graph_order.h"

#include "trace/memory.h"

struct order_walk {
    const uint32_t *offset; /* parents of place p: parent[offset[p]] .. parent[offset[p + 1]] */
    const uint32_t *parent;
    uint32_t *cursor; /* next parent to look at */
    uint32_t *stack;
    uint8_t *state;
    uint32_t *position;
    uint32_t placed;
};

enum { STATE_NEW, STATE_OPEN, STATE_PLACED };

/* Places a lot after all its ancestors that are not placed yet. */
static bool order_visit(struct order_walk *w, uint32_t root, uint32_t *out_on_cycle)
{
    uint32_t depth = 0;
    w->stack[depth++] = root;
    w->state[root] = STATE_OPEN;
    while (depth > 0) {
        uint32_t place = w->stack[depth - 1];
        if (w->cursor[place] == w->offset[place + 1]) {
            w->state[place] = STATE_PLACED;
            w->position[place] = w->placed++;
            depth--;
            continue;
        }
        uint32_t up = w->parent[w->cursor[place]++];
        if (w->state[up] == STATE_OPEN) {
            *out_on_cycle = up;
            return false;
        }
        if (w->state[up] == STATE_NEW) {
            w->state[up] = STATE_OPEN;
            w->stack[depth++] = up;
        }
    }
    return true;
}

bool graph_order(uint32_t count, const uint32_t *parent, const uint32_t *child, uint32_t edge_count,
                 uint32_t *out_position, uint32_t *out_on_cycle)
{
    uint32_t *offset = MEMORY_ZERO(uint32_t, (size_t)count + 1);
    uint32_t *cursor = MEMORY_TAKE(uint32_t, count);
    uint32_t *grouped = MEMORY_TAKE(uint32_t, edge_count);
    for (uint32_t i = 0; i < edge_count; i++) {
        offset[child[i] + 1]++;
    }
    for (uint32_t p = 0; p < count; p++) {
        offset[p + 1] += offset[p];
        cursor[p] = offset[p];
    }
    for (uint32_t i = 0; i < edge_count; i++) {
        grouped[cursor[child[i]]++] = parent[i];
    }
    for (uint32_t p = 0; p < count; p++) {
        cursor[p] = offset[p];
    }
    struct order_walk w = {.offset = offset,
                           .parent = grouped,
                           .cursor = cursor,
                           .stack = MEMORY_TAKE(uint32_t, count),
                           .state = MEMORY_ZERO(uint8_t, count),
                           .position = out_position};
    bool acyclic = true;
    for (uint32_t p = 0; p < count && acyclic; p++) {
        if (w.state[p] == STATE_NEW) {
            acyclic = order_visit(&w, p, out_on_cycle);
        }
    }
    free(w.stack);
    free(w.state);
    free(offset);
    free(cursor);
    free(grouped);
    return acyclic;
}
