/* The goods of a crop for given starts: which harvests serve which wants at least cost. Crops that
 * swaps tie together (frame.h) have one flow.
 *
 * A least-cost flow that is kept cheapest while chambers are added and taken away, one at a time:
 * only the harvest that changed can open a cheaper way, so a few shortest paths from it mend the
 * whole. Exact wherever no limit of a day or of a seed lot ties crops together; prices stand in for
 * those. Amounts are whole micrograms of packed goods, so that nothing drifts and taking back
 * leaves no trace.
 *
 * node    a harvest that sells alike (frame.h), and last of each crop the goods that still grow at
 *         the end
 * layer   room of a node for optional seed of one cost; what was given or must be filled is sunk
 * cell    what is wanted (frame.h), on whatever day it leaves: the first that will do; and last of
 *         each crop what should stand at the end
 *
 * What is counted are units of each crop (frame.h), a kg where nothing ties it to another: a piece
 * given then counts as the piece wanted. Where a swap gives a piece of another weight all the same,
 * an arc counts units wanted and costs what all its goods cost; that a node then gives more or less
 * than it counts is left to realize.h. */
#ifndef PLAN_FLOW_H
#define PLAN_FLOW_H

#include "plan/serve.h"

struct flow_arc {
    int node, cell;
    double cost; /* of one unit wanted */
};

/* Of an amount or, where place is NULL, of a price. */
struct flow_undo {
    int64_t *place, old;
    double *price, old_price;
};

struct flow_label {
    double distance;
    int at;
};

struct flow {
    int *crops, crop_count; /* in the frame's order */
    int node_count, cell_count, layer_count;
    int *frame_nodes, *frame_cells; /* PLAN_NONE: the last, one a crop, where the end counts */
    struct flow_arc *arcs;          /* by node */
    int *first_arc;                 /* by node, node_count + 1 */
    int *into, *first_into;         /* arcs by cell */
    double *short_cost;             /* by cell, of one unit */
    int64_t *wanted_ug;
    double *waste_cost;                 /* by node, of one unit */
    int *first_layer;                   /* by node, node_count + 1 */
    double *layer_cost;                 /* of one unit, rising within a node */
    int64_t *layer_ug, *sunk_ug;        /* millionths of a thousandth of a unit, as all amounts */
    int64_t *used_ug, *met_ug, *arc_ug; /* the flow: by node, cell, arc */
    double cost;
    /* What one unit more (bid) or less (ask) of a node's goods is worth: bid <= ask. Each set of
     * them is a dual solution, so that what a change costs is bounded from below without making it.
     */
    double *bid, *ask;
    /* By node and then cell: what one unit there costs at least until it is sold, stays short or
     * takes the place of other goods. At these prices no step along the flow costs less than
     * nothing, so that the nearest end is found first. */
    double *price, far; /* far: more than any path costs */
    double *distance;   /* of the path looked for; INFINITY between two of them */
    int *by_arc, *touched, touched_count;
    struct flow_label *heap;
    int *near, near_count; /* vertices to go on from that are as near as the last */
    int heap_count;
    struct flow_undo *undo;
    int undo_count, undo_room;
    double undo_cost;
};

/* What a chamber of an option brings. */
struct flow_chamber {
    int node, layer;
    int64_t forced_ug, optional_ug;
    int more_count; /* harvests after the first; what they bear is forced */
    const struct flow_more {
        int node;
        int64_t forced_ug;
    } * more;
};

/* Options of the crops by their place in the frame -> what a chamber of each brings; seed_cost: of
 * one kg of seed in each option, goods_cost: of one kg of each frame node's goods taken (both with
 * the prices of shared limits in them), seed_yield: packed kg of one kg of seed in each option;
 * mix_cost: of one kg of crop by mix * day_count + day of packing, pack_cost: of one kg packed by
 * harvest day, both for what a mix has beyond the crop; short_cost: of one kg of each frame cell
 * short. */
struct flow_terms {
    const double *seed_cost, *seed_yield, *goods_cost, *mix_cost, *pack_cost, *short_cost;
};
/* first_crop: of those tied together. */
struct flow *flow_new(struct arena *a, const struct plan_frame *f, int first_crop,
                      const struct flow_terms *terms, struct flow_chamber *chambers);
/* Nodes and cells of the frame; the ends come after them. */
int flow_goods_count(const struct flow *f);
int flow_wants_count(const struct flow *f);
/* What a running lot's choice of the frame brings; those told are in the flow from the beginning.
 */
struct flow_chamber flow_of_choice(const struct flow *f, const struct plan_frame *frame,
                                   int choice);
void flow_release(struct flow *f);

void flow_add(struct flow *f, const struct flow_chamber *c);
/* The chamber must have been added. */
void flow_remove(struct flow *f, const struct flow_chamber *c);
/* A chamber taken from one flow (NULL: from none), another added to the same or another one (NULL:
 * to none), given up as soon as that is certain to cost more than most: -> false, and both must be
 * undone. Bids must be those of the flow as it is. */
bool flow_exchange(struct flow *from, const struct flow_chamber *out, struct flow *to,
                   const struct flow_chamber *in, double most);
/* flow_undo takes everything back to the last flow_keep. */
void flow_keep(struct flow *f);
void flow_undo(struct flow *f);
/* Bids and asks anew. */
void flow_price(struct flow *f);
/* From below: what adding or removing a chamber costs in goods at these prices of nodes. */
double flow_add_bound(const struct flow *f, const struct flow_chamber *c, const double *prices);
double flow_remove_bound(const struct flow *f, const struct flow_chamber *c, const double *prices);
/* The cost from its parts, for checks. */
double flow_cost(const struct flow *f);
/* What of its optional seed's goods the flow uses of a layer. */
int64_t flow_layer_used_ug(const struct flow *f, int node, int layer);

#endif
