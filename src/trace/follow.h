/* Keeps a graph in step with the record: what folding an entry does to the tables, done here. */
#ifndef TRACE_FOLLOW_H
#define TRACE_FOLLOW_H

#include "base/json.h"
#include "trace/graph.h"

/* effects: the array of an entry's body (ledger/effects.def); seq: the entry's number. Entries in
 * their order, each once it is durable. On an error (STORE_DAMAGED when an effect has another
 * shape, or one of graph_add) the graph may lack a part of the entry: load it anew. */
MUST_USE struct result graph_follow(struct graph *g, int64_t seq, const json_t *effects);

#endif
