/* Why a lot is in an answer: one way from a start lot to it, entry by entry. */
#ifndef TRACE_PATH_H
#define TRACE_PATH_H

#include "trace/reach.h"

struct path_step {
    int64_t parent, child; /* lot ids; material went from parent to child */
    int64_t entry;         /* the daybook line that says so */
    int64_t mg;
    enum basis basis;
};

/* The steps in walking order: forward the first parent is a start, back the first child is one. The
 * way with the best evidence that leads there: measured steps only, else none of unknown
 * carry-over, else any; of those the one with the fewest steps. No steps: target is itself a start.
 * False when nothing leads to target (a position) along edges of the given bases. */
bool path_find(const struct graph *g, const uint32_t *starts, size_t start_count,
               enum direction direction, unsigned bases, uint32_t target, struct arena *a,
               struct path_step **out, size_t *out_count);

#endif
