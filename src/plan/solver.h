/* Runs plumule-solve on LP text in a process of its own, under limits, and reads its answer with
 * suspicion.
 *
 * Whatever happens on the other side - missing program, crash, hang, flood, nonsense - is a result
 * here. The child gets the text as a file on its standard input, writes into a pipe, sees no other
 * open file and dies with its limits, its deadline or us. */
#ifndef PLAN_SOLVER_H
#define PLAN_SOLVER_H

#include <stdatomic.h>

#include "base/result.h"

struct solver_options {
    const char *path;        /* plumule-solve beside the own program */
    double seconds;          /* wall clock, 0.05 ... 86400 */
    double gap;              /* stop within this share of the bound, 0 ... 1 */
    int64_t memory_bytes;    /* address space of the child; 0: SOLVER_MEMORY_BYTES */
    const atomic_bool *stop; /* looked at ten times a second; NULL: never */
    bool bound_first;        /* a bound matters more than a plan */
};

#define SOLVER_MEMORY_BYTES ((int64_t)4 << 30)

enum solver_status {
    SOLVER_SOLVED,  /* within the gap */
    SOLVER_STOPPED, /* the time ended the search; the best found */
    SOLVER_INFEASIBLE,
    SOLVER_UNBOUNDED,
};

struct solver_answer {
    enum solver_status status;
    double objective, bound, gap;
    bool has_bound; /* with SOLVER_LATE there may be one as well */
    double *values; /* by column; all 0 unless SOLVER_SOLVED or SOLVER_STOPPED */
};

/* Errors: SOLVER_START, SOLVER_LATE (no plan in time), SOLVER_CRASHED, SOLVER_GARBLED,
 * SOLVER_REFUSED, PLAN_STOPPED. */
MUST_USE struct result solver_run(struct arena *a, const struct solver_options *options,
                                  const char *lp_text, int column_count, struct solver_answer *out);
/* The answer's text alone, as the program writes it; values are columns written as a letter and an
 * index. */
MUST_USE struct result solver_answer_read(struct arena *a, const char *text, int column_count,
                                          struct solver_answer *out);

#endif
