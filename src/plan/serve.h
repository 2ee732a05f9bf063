/* Which goods serve what is wanted, on which day, as which product and at what cost. */
#ifndef PLAN_SERVE_H
#define PLAN_SERVE_H

#include "plan/frame.h"

/* How goods of a node serve a cell. */
struct plan_serving {
    int day;  /* they leave: the cell's own, or the first one later that will do; PLAN_NEVER */
    int swap; /* given in place of what is wanted, PLAN_NONE */
    double kg_per_kg; /* of goods for one kg wanted: 1 but for a swap of another net weight */
};

/* Goods that may go as what is wanted go as that; else by the cheapest swap that will do. */
struct plan_serving plan_serving(const struct plan_frame *f, int node, int cell);
/* Of it the day; PLAN_NEVER. */
int plan_serve_day(const struct plan_frame *f, int node, int cell);
/* And the kg of goods for one kg wanted. They must fit. */
double plan_serve_ratio(const struct plan_frame *f, int node, int cell);
/* Oldest harvest day of the crop's goods that leave for the cell on its day, as what is wanted or
 * by a swap; PLAN_NEVER: it takes none of the crop. */
int plan_cell_oldest_day(const struct plan_frame *f, const struct plan_cell *c, int crop);
/* May goods of the node be dispatched for the cell? */
bool plan_serves(const struct plan_frame *f, int node, int cell);
/* Of the cells that share a want, that of the first day on which goods of the node may be
 * dispatched for it; PLAN_NONE. */
int plan_first_cell(const struct plan_frame *f, int node, int want);
/* Of one kg of the node that serves the cell: days kept, days late, and the swap. They must fit. */
double plan_serve_cost(const struct plan_frame *f, int node, int cell);

#endif
