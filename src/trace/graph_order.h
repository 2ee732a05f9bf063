/* Parts of the graph that only src/trace/graph*.c share. */
#ifndef TRACE_GRAPH_ORDER_H
#define TRACE_GRAPH_ORDER_H

#include "trace/graph.h"

/* An order in which parents come before children, as near to 0, 1, 2 ... as can be.
 * parent, child: edge_count edges between places 0 .. count - 1. False when there is a cycle; then
 * *out_on_cycle is a place on it. */
MUST_USE bool graph_order(uint32_t count, const uint32_t *parent, const uint32_t *child,
                          uint32_t edge_count, uint32_t *out_position, uint32_t *out_on_cycle);

/* As graph_build, with lots that may have no edge. */
MUST_USE struct result graph_make(const struct graph_edge *edges, size_t count, const int64_t *lots,
                                  size_t lot_count, struct graph **out);
/* A graph of the same lots and shipped lines with all edges packed. */
void graph_repack(struct graph *g, const struct graph_edge *edges, size_t count);

struct result graph_fail(enum code code, const char *what, int64_t id);

#endif
