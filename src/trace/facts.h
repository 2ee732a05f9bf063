/* What the record says about each lot of a set. */
#ifndef TRACE_FACTS_H
#define TRACE_FACTS_H

#include "base/result.h"
#include "store/store.h"

struct lot_fact {
    int64_t id;
    const char *code;                /* NULL: the record has no such lot (struck) */
    const char *item, *kind, *place; /* place may be NULL */
    int64_t born_ms;
    int32_t day;                          /* of the house, when it was made */
    const char *supplier, *supplier_code; /* may be NULL */
    int64_t supplier_lot;                 /* lot id; 0: none */
    int32_t best_before;                  /* day; 0: none */
    int64_t closed_ms;                    /* 0: open */
    int64_t here_mg, here_pieces;         /* balances; below zero: more went out than came in */
};

/* lots: ascending ids, each once. *out has one fact a lot, in the same order. */
MUST_USE struct result facts_read(struct store *s, const int64_t *lots, size_t count,
                                  struct arena *a, struct lot_fact **out);

/* Holds that are open on lots of the set or on units of them. */
struct lot_hold {
    int64_t lot;
    const char *unit; /* code; NULL: the whole lot */
    const char *code, *kind, *reason, *via;
    int64_t placed_ms;
};
MUST_USE struct result holds_read(struct store *s, const int64_t *lots, size_t count,
                                  struct arena *a, struct lot_hold **out, size_t *out_count);

/* Steps told by the given entries (ascending, each once). */
struct entry_step {
    int64_t entry;
    const char *kind, *act;
    const char *place, *run; /* may be NULL */
    int64_t start_ms, end_ms;
};
MUST_USE struct result steps_read(struct store *s, const int64_t *entries, size_t count,
                                  struct arena *a, struct entry_step **out, size_t *out_count);

#endif
