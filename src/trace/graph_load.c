#include "trace/graph_order.h"
#include "trace/memory.h"

struct edge_buffer {
    struct graph_edge *edge;
    size_t count, room;
};

struct line_buffer {
    struct shipped_line *line;
    size_t count, room;
};

static struct result read_edges(struct store *s, struct edge_buffer *out)
{
    struct statement *q = store_prepare(s, Q_TRACE_EDGES);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        if (out->count == out->room) {
            out->room = out->room > 0 ? 2 * out->room : 4096;
            out->edge = MEMORY_GROW(out->edge, struct graph_edge, out->room);
        }
        int64_t basis = store_int(q, 4);
        if (basis >= BASIS_COUNT) {
            int64_t child = store_int(q, 1);
            store_prepare(s, Q_TRACE_EDGES); /* ends the reading */
            return graph_fail(CODE_GENEALOGY_BASIS, "", child);
        }
        out->edge[out->count++] = (struct graph_edge){
            store_int(q, 0), store_int(q, 1), store_int(q, 2), store_int(q, 3), (enum basis)basis};
    }
}

/* Many units of one lot in one shipment are one line here. */
static bool joins_last(const struct line_buffer *b, const struct shipped_line *line)
{
    const struct shipped_line *last = b->count > 0 ? &b->line[b->count - 1] : NULL;
    return last != NULL && last->shipment == line->shipment && last->lot == line->lot &&
           last->entry == line->entry;
}

static struct result read_lines(struct store *s, struct line_buffer *out)
{
    struct statement *q = store_prepare(s, Q_TRACE_SHIPPED);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        struct shipped_line line = {.shipment = store_int(q, 0),
                                    .lot = store_int(q, 1),
                                    .pieces = store_int(q, 2),
                                    .mg = store_int(q, 3),
                                    .entry = store_int(q, 4)};
        if (joins_last(out, &line)) {
            out->line[out->count - 1].pieces += line.pieces;
            out->line[out->count - 1].mg += line.mg;
            continue;
        }
        if (out->count == out->room) {
            out->room = out->room > 0 ? 2 * out->room : 1024;
            out->line = MEMORY_GROW(out->line, struct shipped_line, out->room);
        }
        out->line[out->count++] = line;
    }
}

static struct result read_shipments(struct store *s, struct graph *g)
{
    struct statement *q = store_prepare(s, Q_TRACE_SHIPMENTS);
    for (;;) {
        bool row;
        TRY(store_step(q, &row));
        if (!row) {
            return RESULT_OK;
        }
        graph_add_shipment(g, store_int(q, 0), store_text(q, 1), store_text(q, 2));
    }
}

static struct result build_with_lines(struct store *s, const struct edge_buffer *edges,
                                      const struct line_buffer *lines, struct graph **out)
{
    int64_t *lots = MEMORY_TAKE(int64_t, lines->count);
    for (size_t i = 0; i < lines->count; i++) {
        lots[i] = lines->line[i].lot;
    }
    struct graph *g = NULL;
    struct result r = graph_make(edges->edge, edges->count, lots, lines->count, &g);
    free(lots);
    if (r.code == CODE_OK) {
        r = read_shipments(s, g);
    }
    if (r.code == CODE_OK) {
        r = graph_add_shipped(g, lines->line, lines->count);
    }
    if (r.code != CODE_OK) {
        graph_free(g);
        return r;
    }
    shipped_pack(&g->shipped, g->lot_count);
    *out = g;
    return RESULT_OK;
}

struct result graph_load(struct store *s, struct graph **out)
{
    struct edge_buffer edges = {.count = 0};
    struct line_buffer lines = {.count = 0};
    struct result r = read_edges(s, &edges);
    if (r.code == CODE_OK) {
        r = read_lines(s, &lines);
    }
    if (r.code == CODE_OK) {
        r = build_with_lines(s, &edges, &lines, out);
    }
    free(edges.edge);
    free(lines.line);
    return r;
}
