/* Where a trace begins: a lot, a case or pallet, or a shipment, by the code on its label. */
#ifndef TRACE_STARTS_H
#define TRACE_STARTS_H

#include "trace/reach.h"

struct trace_starts {
    int64_t *lot;   /* ids, ascending, each once */
    double *weight; /* what each counts for in a trace back; they sum to the number of codes */
    size_t count;
};

/* Every code weighs the same; the lots of a unit or shipment by their mass in it. A unit stands for
 * all units in it. Forward from a supplier lot begins at every delivery of it too.
 * TRACE_START with field when a code is none of these. */
MUST_USE struct result starts_find(struct store *s, const char *field, const char *const *codes,
                                   size_t code_count, enum direction direction, struct arena *a,
                                   struct trace_starts *out);

#endif
