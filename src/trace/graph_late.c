/* Edges and shipped lines that come after the graph was packed. */
#include <string.h>

#include "trace/graph_order.h"
#include "trace/memory.h"
#include "trace/reach.h"

/* A walk pays for late edges with a chain per lot; packing pays with a pass over all edges. */
enum { LATE_MIN = 4096, LATE_SHARE = 16 };

#define ENTRY_NONE INT64_MIN

static void begin_late(struct graph *g)
{
    if (g->late_out == NULL) {
        g->late_out = MEMORY_ZERO(uint32_t, g->lot_room);
        g->late_in = MEMORY_ZERO(uint32_t, g->lot_room);
    }
}

static void make_room_for_lot(struct graph *g)
{
    if (g->lot_count < g->lot_room) {
        return;
    }
    uint32_t room = g->lot_room + g->lot_room / 8 + 1024;
    g->lot = MEMORY_GROW(g->lot, int64_t, room);
    g->input_mg = MEMORY_GROW(g->input_mg, int64_t, room);
    g->out.offset = MEMORY_GROW(g->out.offset, uint32_t, (size_t)room + 1);
    g->in.offset = MEMORY_GROW(g->in.offset, uint32_t, (size_t)room + 1);
    g->late_out = MEMORY_GROW(g->late_out, uint32_t, room);
    g->late_in = MEMORY_GROW(g->late_in, uint32_t, room);
    memset(g->late_out + g->lot_room, 0, (room - g->lot_room) * sizeof *g->late_out);
    memset(g->late_in + g->lot_room, 0, (room - g->lot_room) * sizeof *g->late_in);
    g->lot_room = room;
}

static uint32_t find_or_add_lot(struct graph *g, int64_t id)
{
    uint32_t position;
    if (graph_find(g, id, &position)) {
        return position;
    }
    begin_late(g);
    make_room_for_lot(g);
    position = g->lot_count++;
    g->lot[position] = id;
    g->input_mg[position] = 0;
    g->out.offset[position + 1] = g->out.offset[position];
    g->in.offset[position + 1] = g->in.offset[position];
    id_list_add(&g->late_lots, id, position);
    return position;
}

static bool has_children(const struct graph *g, uint32_t position)
{
    return g->out.offset[position + 1] > g->out.offset[position] || g->late_out[position] != 0;
}

/* Would an edge close a cycle? While every edge leads up, one more that leads up can't. */
static bool closes_cycle(const struct graph *g, uint32_t parent, uint32_t child)
{
    if (parent == child) {
        return true;
    }
    if ((parent < child && g->against_count == 0) || !has_children(g, child)) {
        return false;
    }
    struct reach below;
    reach_run(g, &child, 1, TRACE_FORWARD, BASES_ALL, &below);
    bool found = reach_has(&below, parent);
    reach_release(&below);
    return found;
}

static struct result add_edge(struct graph *g, const struct graph_edge *e)
{
    uint32_t parent = find_or_add_lot(g, e->parent);
    uint32_t child = find_or_add_lot(g, e->child);
    begin_late(g);
    int64_t input;
    if (e->mg < 0 || __builtin_add_overflow(g->input_mg[child], e->mg, &input)) {
        return graph_fail(CODE_GENEALOGY_MASS, "lot id ", e->child);
    }
    if (closes_cycle(g, parent, child)) {
        return graph_fail(CODE_GENEALOGY_CYCLE, "", e->child);
    }
    if (g->late_count == g->late_room) {
        g->late_room = g->late_room > 0 ? 2 * g->late_room : 256;
        g->late = MEMORY_GROW(g->late, struct graph_late, g->late_room);
    }
    g->late[g->late_count++] = (struct graph_late){.parent = parent,
                                                   .child = child,
                                                   .next_out = g->late_out[parent],
                                                   .next_in = g->late_in[child],
                                                   .entry = e->entry,
                                                   .mg = e->mg,
                                                   .basis = e->basis};
    g->late_out[parent] = g->late_count;
    g->late_in[child] = g->late_count;
    g->input_mg[child] = input;
    g->against_count += parent > child;
    g->basis_count[e->basis]++;
    g->massless_edges += e->mg == 0;
    return RESULT_OK;
}

/* Back to how it was; chains are undone newest first. */
static void undo(struct graph *g, uint32_t late_count, uint32_t lot_count)
{
    while (g->late_count > late_count) {
        const struct graph_late *l = &g->late[--g->late_count];
        g->late_out[l->parent] = l->next_out;
        g->late_in[l->child] = l->next_in;
        g->input_mg[l->child] -= l->mg;
        g->against_count -= l->parent > l->child;
        g->basis_count[l->basis]--;
        g->massless_edges -= l->mg == 0;
    }
    id_list_cut(&g->late_lots, lot_count);
    g->lot_count = lot_count;
}

static void repack_all(struct graph *g, int64_t but_entry)
{
    struct graph_edge *edges;
    size_t count, kept = 0;
    graph_edges(g, &edges, &count);
    for (size_t i = 0; i < count; i++) {
        if (edges[i].entry != but_entry) {
            edges[kept++] = edges[i];
        }
    }
    graph_repack(g, edges, kept);
    free(edges);
}

struct result graph_add(struct graph *g, const struct graph_edge *edges, size_t count)
{
    uint32_t late_count = g->late_count, lot_count = g->lot_count;
    if (graph_edge_count(g) + count >= UINT32_MAX / 2) {
        return FAIL0(GENEALOGY_LARGE, "");
    }
    for (size_t i = 0; i < count; i++) {
        struct result r = add_edge(g, &edges[i]);
        if (r.code != CODE_OK) {
            undo(g, late_count, lot_count);
            return r;
        }
    }
    if (g->late_count > LATE_MIN + g->packed_count / LATE_SHARE) {
        repack_all(g, ENTRY_NONE);
    }
    return RESULT_OK;
}

void graph_strike(struct graph *g, int64_t entry)
{
    bool known = false;
    for (uint32_t k = 0; k < g->packed_count && !known; k++) {
        known = g->out_entry[k] == entry;
    }
    for (uint32_t i = 0; i < g->late_count && !known; i++) {
        known = g->late[i].entry == entry;
    }
    if (known) {
        repack_all(g, entry);
    }
    shipped_strike(&g->shipped, entry);
    shipped_pack(&g->shipped, g->lot_count);
}

void graph_add_shipment(struct graph *g, int64_t id, const char *code, const char *customer)
{
    shipped_add_shipment(&g->shipped, id, code, customer);
}

struct result graph_add_shipped(struct graph *g, const struct shipped_line *lines, size_t count)
{
    uint32_t shipment;
    for (size_t i = 0; i < count; i++) {
        if (!id_list_find(&g->shipped.shipment_ids, lines[i].shipment, &shipment)) {
            return graph_fail(CODE_GENEALOGY_SHIPMENT, "id ", lines[i].shipment);
        }
    }
    for (size_t i = 0; i < count; i++) {
        shipped_add_line(&g->shipped, &lines[i], find_or_add_lot(g, lines[i].lot));
    }
    if (shipped_is_long(&g->shipped)) {
        shipped_pack(&g->shipped, g->lot_count);
    }
    return RESULT_OK;
}

struct graph_walk graph_walk_begin(const struct graph *g, uint32_t position, bool forward)
{
    const struct graph_side *side = forward ? &g->out : &g->in;
    struct graph_walk w = {.graph = g,
                           .forward = forward,
                           .at = side->offset[position],
                           .end = side->offset[position + 1]};
    if (g->late_count > 0) {
        w.late = forward ? g->late_out[position] : g->late_in[position];
    }
    return w;
}

bool graph_walk_next(struct graph_walk *w, struct graph_step *out)
{
    const struct graph *g = w->graph;
    if (w->at < w->end) {
        const struct graph_side *side = w->forward ? &g->out : &g->in;
        uint32_t link = side->link[w->at];
        *out = (struct graph_step){LINK_POSITION(link), LINK_BASIS(link), side->mg[w->at],
                                   w->forward ? g->out_entry[w->at] : 0};
        w->at++;
        return true;
    }
    if (w->late == 0) {
        return false;
    }
    const struct graph_late *l = &g->late[w->late - 1];
    *out = (struct graph_step){w->forward ? l->child : l->parent, l->basis, l->mg,
                               w->forward ? l->entry : 0};
    w->late = w->forward ? l->next_out : l->next_in;
    return true;
}
