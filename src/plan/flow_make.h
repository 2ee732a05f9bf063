/* Nodes, cells, arcs and layers of a flow (flow.h), before anything flows. */
#ifndef PLAN_FLOW_MAKE_H
#define PLAN_FLOW_MAKE_H

#include "plan/flow.h"

/* As flow_new takes them; nothing is used, met or undone, and no cost is told. */
struct flow *flow_make(struct arena *a, const struct plan_frame *f, int first_crop,
                       const struct flow_terms *terms, struct flow_chamber *chambers);

#endif
