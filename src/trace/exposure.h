/* How much of one lot is in another, as the expected share by mass: every lot is taken as evenly
 * mixed, so a child holds of each parent what the edge's mass is of all mass that went into it.
 *
 * A child into which only edges of zero mass lead (an amount that nobody weighed) is taken to hold
 * its parents in equal parts.
 *
 * What a lot can contain is the reach itself; a share of zero never takes a lot out of a recall. */
#ifndef TRACE_EXPOSURE_H
#define TRACE_EXPOSURE_H

#include "trace/reach.h"

/* share: one a position of the graph, all 0 before the call; lots that were not reached stay 0.
 * Forward: the part of the lot that comes from the start lots; 1 for each start lot.
 * Back: the part of the start lots that comes from the lot; weights (one a start, not
 * negative; NULL: equal) say how much each start counts. Over the lots without parents the shares
 * sum to 1, unless reach leaves out bases: then the missing part is what it did not follow.
 * Forward, weights are not looked at. */
void exposure_run(const struct graph *g, const struct reach *reach, const uint32_t *starts,
                  const double *weights, size_t start_count, double *share);

#endif
