/* SPDX-License-Identifier: MIT
 *
 * Reads a mixed-integer linear problem from LP text, the part of the format that a planner writes:
 *
 *   Minimize | Maximize            one objective, its name optional
 *   Subject To                     rows "name: 2 x + 3 y - z <= 4", one number to the right; the
 * name optional Bounds                         "l <= x <= u", "x <= u", "x >= l", "x = v", "x
 * free"; -inf and +inf are taken Generals | Binaries            names of whole-number columns;
 * binaries are bounded by 0 and 1 End
 *
 * Columns are non-negative unless bounded otherwise. "\" begins a comment. Section names in any
 * case. Text may be broken over lines anywhere between two tokens. What is outside this is refused
 * with a line number, never guessed. */
#ifndef SOLVE_LP_READ_H
#define SOLVE_LP_READ_H

#include <stdbool.h>
#include <stddef.h>

struct lp_problem {
    int column_count, row_count, entry_count;
    double *objective;     /* column_count */
    double *lower, *upper; /* column_count; HUGE_VAL for none */
    char *is_integer;      /* column_count */
    char **names;          /* column_count */
    double *row_lower, *row_upper;
    /* by column, without gaps: entries of column c are [starts[c], starts[c + 1]) */
    int *starts;
    int *rows;
    double *values;
    bool maximize;
};

struct lp_fault {
    int line;          /* 1-based */
    char message[160]; /* what is wrong there */
};

enum {
    LP_COLUMNS_MAX = 2000000,
    LP_ROWS_MAX = 2000000,
    LP_ENTRIES_MAX = 20000000,
    LP_NAME_MAX = 255
};

/* false: *out_fault says why and *out is empty. text ends with a zero byte. */
bool lp_read(const char *text, struct lp_problem *out, struct lp_fault *out_fault);
void lp_release(struct lp_problem *p);

#endif
