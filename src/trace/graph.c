#include "trace/graph.h"

#include <stdio.h>
#include <string.h>

#include "trace/graph_order.h"
#include "trace/memory.h"

enum { GRAPH_MAGIC = 0x47524150 };

struct result graph_fail(enum code code, const char *what, int64_t id)
{
    char text[48];
    snprintf(text, sizeof text, "%s%lld", what, (long long)id);
    return result_make(code, "", text, NULL, NULL);
}

/* The ids of all lots, each once and in order. */
static bool collect_lots(struct graph *g, const struct graph_edge *edges, size_t count,
                         const int64_t *lots, size_t lot_count)
{
    int64_t *ids = MEMORY_TAKE(int64_t, 2 * count + lot_count);
    size_t used = 0;
    for (size_t i = 0; i < count; i++) {
        if (i == 0 || edges[i].parent != edges[i - 1].parent) {
            ids[used++] = edges[i].parent;
        }
        ids[used++] = edges[i].child;
    }
    if (lot_count > 0) {
        memcpy(ids + used, lots, lot_count * sizeof *ids);
    }
    return id_map_build(&g->ids, ids, used + lot_count);
}

/* Both ends of each edge as places of the id map; *out_ordered: every parent comes before its
 * child. */
static void find_ends(const struct graph *g, const struct graph_edge *edges, size_t count,
                      uint32_t *parent, uint32_t *child, bool *out_ordered)
{
    bool ordered = true;
    for (size_t i = 0; i < count; i++) {
        if (i > 0 && edges[i].parent == edges[i - 1].parent) {
            parent[i] = parent[i - 1];
        } else {
            CHECK(id_map_find(&g->ids, edges[i].parent, &parent[i]));
        }
        CHECK(id_map_find(&g->ids, edges[i].child, &child[i]));
        ordered &= parent[i] < child[i];
    }
    *out_ordered = ordered;
}

/* Gives positions: the order of the ids where that is the order of the genealogy, else a sorted
 * one. */
static struct result give_positions(struct graph *g, const struct graph_edge *edges, size_t count,
                                    uint32_t *parent, uint32_t *child)
{
    bool ordered;
    find_ends(g, edges, count, parent, child, &ordered);
    g->lot_count = g->ids.count;
    g->lot_room = g->lot_count;
    g->lot = MEMORY_TAKE(int64_t, g->lot_room);
    if (ordered) {
        if (g->lot_count > 0) {
            memcpy(g->lot, g->ids.id, g->lot_count * sizeof *g->lot);
        }
        return RESULT_OK;
    }
    g->position_of_place = MEMORY_TAKE(uint32_t, g->lot_count);
    uint32_t on_cycle = 0;
    if (!graph_order(g->lot_count, parent, child, (uint32_t)count, g->position_of_place,
                     &on_cycle)) {
        return graph_fail(CODE_GENEALOGY_CYCLE, "", g->ids.id[on_cycle]);
    }
    for (uint32_t place = 0; place < g->lot_count; place++) {
        g->lot[g->position_of_place[place]] = g->ids.id[place];
    }
    for (size_t i = 0; i < count; i++) {
        parent[i] = g->position_of_place[parent[i]];
        child[i] = g->position_of_place[child[i]];
    }
    return RESULT_OK;
}

/* Offsets from the position that each edge belongs to; *out_cursor is where to put the next one. */
static uint32_t *count_offsets(const uint32_t *position, uint32_t edge_count, uint32_t lot_count,
                               uint32_t **out_cursor)
{
    uint32_t *offset = MEMORY_ZERO(uint32_t, (size_t)lot_count + 1);
    for (uint32_t i = 0; i < edge_count; i++) {
        offset[position[i] + 1]++;
    }
    uint32_t *cursor = MEMORY_TAKE(uint32_t, lot_count);
    for (uint32_t p = 0; p < lot_count; p++) {
        offset[p + 1] += offset[p];
        cursor[p] = offset[p];
    }
    *out_cursor = cursor;
    return offset;
}

static void take_side(struct graph_side *side, uint32_t edge_count)
{
    side->link = MEMORY_TAKE(uint32_t, (size_t)edge_count + GRAPH_PAD);
    side->mg = MEMORY_TAKE(int64_t, (size_t)edge_count + GRAPH_PAD);
    memset(side->link + edge_count, 0, GRAPH_PAD * sizeof *side->link);
    memset(side->mg + edge_count, 0, GRAPH_PAD * sizeof *side->mg);
}

static void pack_out(struct graph *g, const struct graph_edge *edges, const uint32_t *parent,
                     const uint32_t *child)
{
    uint32_t *cursor;
    g->out.offset = count_offsets(parent, g->packed_count, g->lot_count, &cursor);
    take_side(&g->out, g->packed_count);
    g->out_entry = MEMORY_TAKE(int64_t, g->packed_count);
    for (uint32_t i = 0; i < g->packed_count; i++) {
        uint32_t at = cursor[parent[i]]++;
        g->out.link[at] = child[i] | (uint32_t)edges[i].basis << LINK_BASIS_SHIFT;
        g->out.mg[at] = edges[i].mg;
        g->out_entry[at] = edges[i].entry;
        g->basis_count[edges[i].basis]++;
        g->massless_edges += edges[i].mg == 0;
    }
    free(cursor);
}

/* Filled from the out side, so that the parents of a lot stand in the order of their positions. */
static void pack_in(struct graph *g, const uint32_t *child)
{
    uint32_t *cursor;
    g->in.offset = count_offsets(child, g->packed_count, g->lot_count, &cursor);
    take_side(&g->in, g->packed_count);
    for (uint32_t p = 0; p < g->lot_count; p++) {
        for (uint32_t k = g->out.offset[p]; k < g->out.offset[p + 1]; k++) {
            uint32_t link = g->out.link[k];
            uint32_t at = cursor[LINK_POSITION(link)]++;
            g->in.link[at] = p | (uint32_t)LINK_BASIS(link) << LINK_BASIS_SHIFT;
            g->in.mg[at] = g->out.mg[k];
        }
    }
    free(cursor);
}

/* GENEALOGY_MASS for the first lot whose input can't be summed. */
static struct result sum_inputs(struct graph *g)
{
    g->input_mg = MEMORY_TAKE(int64_t, g->lot_room);
    for (uint32_t p = 0; p < g->lot_count; p++) {
        int64_t sum = 0;
        bool bad = false;
        for (uint32_t k = g->in.offset[p]; k < g->in.offset[p + 1]; k++) {
            bad |= g->in.mg[k] < 0 || __builtin_add_overflow(sum, g->in.mg[k], &sum);
        }
        if (bad) {
            return graph_fail(CODE_GENEALOGY_MASS, "lot id ", g->lot[p]);
        }
        g->input_mg[p] = sum;
    }
    return RESULT_OK;
}

static struct result fill(struct graph *g, const struct graph_edge *edges, size_t count,
                          const int64_t *lots, size_t lot_count)
{
    if (count >= UINT32_MAX / 2 || !collect_lots(g, edges, count, lots, lot_count)) {
        return FAIL0(GENEALOGY_LARGE, "");
    }
    g->packed_count = (uint32_t)count;
    uint32_t *parent = MEMORY_TAKE(uint32_t, count);
    uint32_t *child = MEMORY_TAKE(uint32_t, count);
    struct result r = give_positions(g, edges, count, parent, child);
    if (r.code == CODE_OK) {
        pack_out(g, edges, parent, child);
        pack_in(g, child);
        r = sum_inputs(g);
    }
    free(parent);
    free(child);
    return r;
}

struct result graph_make(const struct graph_edge *edges, size_t count, const int64_t *lots,
                         size_t lot_count, struct graph **out)
{
    struct graph *g = MEMORY_ZERO(struct graph, 1);
    g->magic = GRAPH_MAGIC;
    shipped_init(&g->shipped);
    struct result r = fill(g, edges, count, lots, lot_count);
    if (r.code != CODE_OK) {
        graph_free(g);
        return r;
    }
    *out = g;
    return RESULT_OK;
}

struct result graph_build(const struct graph_edge *edges, size_t count, struct graph **out)
{
    return graph_make(edges, count, NULL, 0, out);
}

/* Everything but the shipped lines. */
static void release_edges(struct graph *g)
{
    free(g->lot);
    free(g->input_mg);
    free(g->out.offset);
    free(g->out.link);
    free(g->out.mg);
    free(g->out_entry);
    free(g->in.offset);
    free(g->in.link);
    free(g->in.mg);
    free(g->late);
    free(g->late_out);
    free(g->late_in);
    id_map_release(&g->ids);
    free(g->position_of_place);
    id_list_release(&g->late_lots);
}

void graph_free(struct graph *g)
{
    if (g == NULL) {
        return;
    }
    CHECK(g->magic == GRAPH_MAGIC);
    g->magic = 0;
    release_edges(g);
    shipped_release(&g->shipped);
    free(g);
}

bool graph_find(const struct graph *g, int64_t lot, uint32_t *out_position)
{
    CHECK(g->magic == GRAPH_MAGIC);
    uint32_t place;
    if (id_map_find(&g->ids, lot, &place)) {
        *out_position = g->position_of_place != NULL ? g->position_of_place[place] : place;
        return true;
    }
    return id_list_find(&g->late_lots, lot, out_position);
}

void graph_edges(const struct graph *g, struct graph_edge **out, size_t *out_count)
{
    struct graph_edge *edges = MEMORY_TAKE(struct graph_edge, graph_edge_count(g));
    size_t used = 0;
    for (uint32_t p = 0; p < g->lot_count; p++) {
        for (uint32_t k = g->out.offset[p]; k < g->out.offset[p + 1]; k++) {
            uint32_t link = g->out.link[k];
            edges[used++] = (struct graph_edge){g->lot[p], g->lot[LINK_POSITION(link)],
                                                g->out_entry[k], g->out.mg[k], LINK_BASIS(link)};
        }
    }
    for (uint32_t i = 0; i < g->late_count; i++) {
        const struct graph_late *l = &g->late[i];
        edges[used++] =
            (struct graph_edge){g->lot[l->parent], g->lot[l->child], l->entry, l->mg, l->basis};
    }
    CHECK(used == graph_edge_count(g));
    *out = edges;
    *out_count = used;
}

void graph_repack(struct graph *g, const struct graph_edge *edges, size_t count)
{
    struct graph *fresh;
    struct result r = graph_make(edges, count, g->lot, g->lot_count, &fresh);
    CHECK(r.code == CODE_OK); /* these edges were taken before: no cycle, no bad mass among them */
    struct shipped kept = g->shipped;
    release_edges(g);
    shipped_release(&fresh->shipped);
    *g = *fresh;
    g->shipped = kept;
    free(fresh);
    for (size_t i = 0; i < g->shipped.line_count; i++) {
        struct shipped_kept *line = &g->shipped.line[i];
        CHECK(graph_find(g, line->lot, &line->position));
    }
    shipped_pack(&g->shipped, g->lot_count);
}
