/* The question a recall asks: from these lots, everything they may be in, or everything that is in
 * them, and where it all is.
 *
 * The graph and the record must show the same state: ask inside one transaction of the store, under
 * the lock of the graph. */
#ifndef TRACE_TRACE_H
#define TRACE_TRACE_H

#include "trace/account.h"
#include "trace/customers.h"
#include "trace/path.h"
#include "trace/scope.h"
#include "trace/starts.h"

enum trace_depth {
    TRACE_GRAPH,  /* lots, shares and customers: from memory alone */
    TRACE_RECORD, /* and everything else, read from the record */
};

struct trace_question {
    struct trace_starts starts;
    enum direction direction;
    unsigned bases; /* BASES_ALL for a recall */
    enum trace_depth depth;
};

struct trace_answer {
    enum direction direction;
    /* The lots reached, starts among them, ascending by id. */
    size_t lot_count;
    int64_t *lot;
    double *share;    /* see exposure.h; part of share_block */
    uint8_t *certain; /* 1: reached without an edge of unknown carry-over as well */
    double *share_block;
    struct customer_reached *customers;
    size_t customer_count;

    /* From here on empty unless the record was read. facts stand in the order of lot. */
    struct lot_fact *facts;
    struct scope scope;
    struct account_sum account;
    struct lot_hold *holds; /* open ones */
    size_t hold_count;
    size_t held_lots;         /* lots with at least one of them */
    struct entry_step *steps; /* between the lots reached, in the order of their entries */
    size_t step_count;
    /* The part of the answer that rests only on unknown carry-over, 0 .. 1. Forward: of the mass
     * that is here or left. Back: of the mass of the starts, by the lots it all began with. */
    double unknown_part;
};

/* store may be NULL for TRACE_GRAPH. Texts live in the arena; trace_answer_release frees the
 * columns. Errors: of the store; GENEALOGY_MASS. */
MUST_USE struct result trace_run(const struct graph *g, struct store *s,
                                 const struct trace_question *question, struct arena *a,
                                 struct trace_answer *out);
void trace_answer_release(struct trace_answer *answer);

struct why_step {
    const char *parent, *child; /* lot codes */
    struct path_step step;
};

/* Why a lot is in the answer to a question: see path.h. LOT_UNKNOWN, TRACE_NO_PATH with field. */
MUST_USE struct result trace_why(const struct graph *g, struct store *s,
                                 const struct trace_question *question, const char *field,
                                 const char *lot_code, struct arena *a, struct why_step **out,
                                 size_t *out_count);

#endif
