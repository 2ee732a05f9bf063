/* A plan over an intake problem: kg taken in, used, sold, let go and turned away; what stands at
 * the end of each day follows from them. */
#ifndef PLAN_INTAKE_PLAN_H
#define PLAN_INTAKE_PLAN_H

#include "base/arena.h"
#include "plan/intake.h"

/* Lines alike in everything but their key, taken together. */
struct intake_cell {
    int good, day, remaining_days;
    double cost_per_kg, kg;
};

/* A node is a good born on one day: good * birth_count + birth. */
struct intake_frame {
    const struct intake_problem *p;
    int *births; /* days, rising: those of lots, then 0 ... day_count - 1 */
    int birth_count, node_count;
    int *first_day, *last_day; /* by node: of its life within the days; last < first: never */
    bool *can_be;              /* by node: something could be born so */
    double *given_kg;          /* by node: lots */
    struct intake_cell *cells;
    int *cell_of_line;
    int cell_count;
};

struct intake_frame *intake_frame_make(struct arena *a, const struct intake_problem *p);
int intake_birth(const struct intake_frame *f, int day); /* the index; the day must be one */
int intake_node(const struct intake_frame *f, int good, int birth);
/* Its life ends within the days: nothing of it may stand when its last day ends. */
bool intake_ends(const struct intake_frame *f, int node);
/* Goods of the node may serve the cell. */
bool intake_serves(const struct intake_frame *f, int node, int cell);
/* The node that a use on a day gives of goods of a birth; PLAN_NONE: too old, it leaves at once. */
int intake_given(const struct intake_frame *f, int use, int part, int birth, int day);
/* What a use can take on a day. */
bool intake_usable(const struct intake_frame *f, int use, int birth, int day);

struct intake_plan {
    const struct intake_frame *f;
    double *use_kg;  /* (use * birth_count + birth) * day_count + day: taken in */
    double *sale_kg; /* cell * birth_count + birth */
    double *buy_kg;  /* offer * day_count + day it arrives */
    double *turn_kg; /* by delivery */
    double *out_kg;  /* node * day_count + day: leaves */
};

struct intake_plan *intake_plan_new(struct arena *a, const struct intake_frame *f);
/* node * day_count + day -> kg at the day's end. Below 0 where the plan takes what is not there. */
double *intake_stock(struct arena *a, const struct intake_plan *plan);
/* Lets go at once what is past its life, and what is left over by rounding. */
void intake_let_go(struct arena *a, struct intake_plan *plan);
/* store * day_count + day -> what it holds, in its own unit; tanks NULL or the number in use. */
double *intake_levels(struct arena *a, const struct intake_plan *plan, const double *stock,
                      int *tanks);
/* machine * day_count + day -> hours. */
double *intake_hours(struct arena *a, const struct intake_plan *plan);
/* Tanks taken by an amount. */
int intake_tanks(const struct intake_store *s, double amount);
/* Cost in the terms of intake.h. */
double intake_cost(struct arena *a, const struct intake_plan *plan);
/* What still would have a day of life after the last day, by good. */
double *intake_end_kg(struct arena *a, const struct intake_plan *plan, const double *stock);
/* The largest breach of a balance, store, tank or machine, kg or its unit over the larger of 1 and
 * the limit. */
double intake_breach(struct arena *a, const struct intake_plan *plan);
/* By cell. */
double *intake_met_kg(struct arena *a, const struct intake_plan *plan);
/* Whole pieces met, by line: orders before forecasts of the same cell, earlier lines first. */
int64_t *intake_met_pieces(struct arena *a, const struct intake_plan *plan);

#endif
