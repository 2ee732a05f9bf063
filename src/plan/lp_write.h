/* A mixed-integer linear program to minimise, in memory and as LP text for plumule-solve.
 *
 * Column c is written as a letter and its index ("n12"), so that a value comes back to its column
 * by the digits alone and a person reading the text sees what the column is. Rows are built one at
 * a time: begin, terms, end. */
#ifndef PLAN_LP_WRITE_H
#define PLAN_LP_WRITE_H

#include "base/arena.h"
#include <stdbool.h>

struct lp_column {
    double objective, lower, upper; /* upper INFINITY: none */
    char letter;
    bool is_integer;
};

struct lp_term {
    int column;
    double value;
};

struct lp_row {
    int first_term, term_count;
    char sense; /* '<' '>' '=' */
    double right;
};

struct lp {
    struct arena *arena;
    struct lp_column *columns;
    struct lp_row *rows;
    struct lp_term *terms;
    int column_count, row_count, term_count;
    int column_room, row_room, term_room;
};

struct lp *lp_new(struct arena *a);
/* -> index */
int lp_column(struct lp *lp, char letter, double objective, double lower, double upper,
              bool is_integer);
void lp_row_begin(struct lp *lp);
void lp_term(struct lp *lp, int column, double value);
/* Closes the row. One without terms is dropped; it must hold as it stands (CHECK). */
void lp_row_end(struct lp *lp, char sense, double right);
const char *lp_text(struct arena *a, const struct lp *lp);
double lp_objective(const struct lp *lp, const double *values);
/* The largest breach of a row, bound or whole number, each row scaled by its largest term or right
 * side. */
double lp_breach(const struct lp *lp, const double *values);

#endif
