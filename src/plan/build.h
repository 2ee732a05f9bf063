/* A plan put together start by start and delivery by delivery, with every limit kept: what making a
 * plan at once (construct.h) and turning counts into a plan (realize.h) have in common. */
#ifndef PLAN_BUILD_H
#define PLAN_BUILD_H

#include "plan/dish.h"
#include "plan/slack.h"

#define BUILD_NOTHING_KG 1e-6

struct builder {
    const struct plan_frame *f;
    struct plan *plan;
    struct plan_slack *slack;
    struct plan_slack *untouched; /* what there is before anything is started */
    double *left_kg;              /* by node: made and not taken */
    double *open_kg;              /* by cell that is its own want: wanted and not met */
    int *node_order;              /* oldest harvest first */
    int *cell_order;              /* first due first, dearest shortage first */
    int *option_order;            /* latest harvest first, cheapest way of it first */
    int *replaced;                /* starts in place of dropped ones: day * crop_count + crop */
    double *tally;                /* of all dishes of several crops (dish.h), one after another */
};

/* Nothing started, nothing served. */
struct builder *builder_new(struct arena *a, const struct plan_frame *f);
/* Begins anew; the plan is the same struct, emptied. */
void builder_reset(struct builder *b);
/* Both of one frame. */
void builder_copy(struct builder *to, const struct builder *from);
/* A running lot by one of its choices; the chambers and harvests must suffice. */
void builder_choose(struct builder *b, int running, int choice);
bool builder_may_start(const struct builder *b, int option);
/* One chamber with its least filling; it may be started. */
void builder_start(struct builder *b, int option);
/* What is still wanted of a cell, with those that share its want. */
double builder_open_kg(const struct builder *b, int cell);
/* Adds seed of one fill, as far as day, lots and want_kg go. -> kg added */
double builder_add_seed(struct builder *b, int fill, double want_kg);
/* Most that the limits of the harvest day, the ingredients and the other crops of a dish still let
 * through of a node to a cell; cell PLAN_NONE: of the crop alone. */
double builder_lets_through_kg(const struct builder *b, int node, int cell);
/* kg of goods. The node must have them, the cell want them. */
void builder_serve(struct builder *b, int node, int cell, double kg);
/* Serves a cell from what is made of its crop, oldest first; what is given instead after all else.
 * Of a dish of several crops its own cell as far as those with it are served. */
void builder_serve_from_made(struct builder *b, int cell);
/* From what is made of other crops that are given in its place. */
void builder_serve_across(struct builder *b, int cell);
/* Cells of what goes into a dish want no more than its own cell still wants. */
void builder_ask_with(struct builder *b, int dish);
/* What serves them beyond what the dish's own crop is met with is free again, the latest first. */
void builder_give_back(struct builder *b, int dish);
/* A dish from what is made: all its cells, and back what is too much of one. */
void builder_serve_dish(struct builder *b, int dish);
/* And from started chambers that are filled further, those of all its crops together. */
void builder_fill_dish(struct builder *b, int dish);
/* Seed beyond the least filling whose goods nobody takes is not soaked. */
void builder_spare_seed(struct builder *b);
/* Fills a started option further for a cell, and all started ones of its crop that can serve it; or
 * of other crops. */
void builder_fill_for(struct builder *b, int option, int cell);
void builder_fill_started(struct builder *b, int cell);
void builder_fill_across(struct builder *b, int cell);

#endif
