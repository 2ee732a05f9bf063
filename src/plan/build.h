/* A plan put together start by start and delivery by delivery, with every limit kept: what making a
 * plan at once (construct.h) and turning counts into a plan (realize.h) have in common. */
#ifndef PLAN_BUILD_H
#define PLAN_BUILD_H

#include "plan/slack.h"

#define BUILD_NOTHING_KG 1e-6

struct builder {
    const struct plan_frame *f;
    struct plan *plan;
    struct plan_slack *slack;
    struct plan_slack *untouched; /* what there is before anything is started */
    double *left_kg;              /* by node: made and not taken */
    double *open_kg;              /* by cell: wanted and not met */
    int *node_order;              /* oldest harvest first */
    int *cell_order;              /* first due first, dearest shortage first */
    int *option_order;            /* latest harvest first, cheapest way of it first */
    int *replaced;                /* starts in place of dropped ones: day * crop_count + crop */
};

/* Nothing started, nothing served. */
struct builder *builder_new(struct arena *a, const struct plan_frame *f);
/* Begins anew; the plan is the same struct, emptied. */
void builder_reset(struct builder *b);
/* A running lot by one of its choices; the chambers and harvests must suffice. */
void builder_choose(struct builder *b, int running, int choice);
bool builder_may_start(const struct builder *b, int option);
/* One chamber with its least filling; it may be started. */
void builder_start(struct builder *b, int option);
/* Adds seed of one fill, as far as day, lots and want_kg go. -> kg added */
double builder_add_seed(struct builder *b, int fill, double want_kg);
/* Most that the limits of the harvest day and the ingredients still let through of a node to a
 * cell; cell PLAN_NONE: of the crop alone. */
double builder_lets_through_kg(const struct builder *b, int node, int cell);
/* kg of goods. The node must have them, the cell want them. */
void builder_serve(struct builder *b, int node, int cell, double kg);
/* Serves a cell from what is made, oldest first; what is given instead after all else. */
void builder_serve_from_made(struct builder *b, int cell);
/* Fills a started option further for a cell, and all started ones that can serve it. */
void builder_fill_for(struct builder *b, int option, int cell);
void builder_fill_started(struct builder *b, int cell);

#endif
