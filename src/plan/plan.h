/* A plan over a frame: how many chambers to start by which option, with how much seed, and which
 * goods serve what is wanted. Counts and kg only; place.h gives chambers and lots their names. */
#ifndef PLAN_PLAN_H
#define PLAN_PLAN_H

#include "plan/serve.h"

/* Packed kg of a node that serve a cell. */
struct plan_flow {
    int node, cell;
    double kg;
};

/* The same down to lines: whole pieces, in the order of flows. */
struct plan_sale {
    int node, line;
    int product; /* what they go as: the line's own, or what is given instead */
    int day;     /* they leave */
    double kg;
    bool is_with; /* of another crop than the product's own, for the same pieces */
};

struct plan {
    const struct plan_frame *f;
    struct arena *arena;
    int *counts;             /* by option: chambers */
    double *seed_kg;         /* by fill */
    struct plan_flow *flows; /* by node, then by the cell's day */
    int flow_count, flow_room;
    double *end_kg; /* by node: left standing at the end with life in it */
    int *choices;   /* by running lot: one of plan_running's */
};

struct plan *plan_new(struct arena *a, const struct plan_frame *f);
/* Running lots as told. */
void plan_choose_told(struct plan *plan);
struct plan *plan_copy(struct arena *a, const struct plan *from);
void plan_flow_add(struct plan *plan, int node, int cell, double kg);
/* Joins flows between the same two, drops what is below a milligram, sorts. */
void plan_flows_tidy(struct plan *plan);

double plan_option_seed_kg(const struct plan *plan, int option);
double plan_option_packed_kg(const struct plan *plan, int option);
/* Of the frame, the running lot's choice; the lot must have other days. */
int plan_chosen(const struct plan *plan, int running);
/* Packed kg by node: given, with the running lots as chosen. */
double *plan_given_kg(struct arena *a, const struct plan *plan);
/* Packed kg by node: given and started. */
double *plan_node_kg(struct arena *a, const struct plan *plan);
/* Packed kg by node that somebody takes or that stands at the end. */
double *plan_node_used_kg(struct arena *a, const struct plan *plan);
/* Kg wanted that are served, whatever is given; by cell, those that share a want in its own. */
double *plan_cell_met_kg(struct arena *a, const struct plan *plan);
/* Packed kg by crop still growing after the last day, as far as they are wanted, fixed ones first.
 */
double plan_standing_kg(const struct plan *plan, int crop);
/* Cost in the terms of problem.h; given goods are sunk. */
double plan_cost(struct arena *a, const struct plan *plan);

/* Flows shared among lines: orders before forecasts of the same cell, earlier lines first; by node.
 * -> count */
int plan_sales(struct arena *a, const struct plan *plan, struct plan_sale **out);
/* By line: the day its last goods leave; its own where none are late. */
int *plan_met_days(struct arena *a, const struct plan_problem *p, const struct plan_sale *sales,
                   int sale_count);
/* Whole pieces met, by line, a piece given for a piece wanted. */
int64_t *plan_met_pieces(struct arena *a, const struct plan *plan, const struct plan_sale *sales,
                         int sale_count);

#endif
