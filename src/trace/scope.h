/* The scope of a recall for a set of lots: what is still here and where, what left and to whom. */
#ifndef TRACE_SCOPE_H
#define TRACE_SCOPE_H

#include "trace/facts.h"

struct scope_here {
    int64_t lot;
    const char *lot_code;
    const char *place;                  /* may be NULL */
    const char *unit;                   /* code; NULL: what of the lot is in no unit */
    const char *unit_kind, *unit_state; /* "here", or "returned" by a customer; NULL without unit */
    int64_t pieces, mg;
};

struct scope_left {
    int64_t lot;
    const char *lot_code;
    const char *customer, *shipment;
    int64_t at_ms;
    const char *unit; /* code; may be NULL */
    int64_t pieces, mg;
};

struct scope {
    struct scope_here *here; /* by lot, units first, then what is loose */
    size_t here_count;
    int64_t here_pieces, here_mg; /* from the lots' balances; a lot below zero counts as none */
    struct scope_left *left;      /* by lot, then shipment */
    size_t left_count;
    int64_t left_pieces, left_mg;
};

/* lots: any order, may repeat. Texts live in the arena. */
MUST_USE struct result recall_scope(struct store *s, const int64_t *lots, size_t count,
                                    struct arena *a, struct scope *out);
/* The same for a set whose facts are read already. */
MUST_USE struct result scope_of_facts(struct store *s, const int64_t *lots, size_t count,
                                      const struct lot_fact *facts, struct arena *a,
                                      struct scope *out);

#endif
