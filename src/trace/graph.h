/* The genealogy graph in memory: which lot went into which. An index, rebuilt from the edge table
 * at any time; the record stays the truth.
 *
 * Lots have positions 0 .. lot_count - 1. Every edge of the two packed sides runs from a lower
 * position to a higher one, so that one walk up the positions sees every lot after all its parents
 * and one walk down sees it after all its children. Edges added since the sides were packed are
 * late edges in chains per lot; they are packed in when they grow many. A late edge may run against
 * the order (an old lot that took in a newer one); walks then order what they reached by
 * themselves.
 *
 * One writer or many readers at a time: the owner holds the lock. Pointers are borrowed and hold
 * until the next change. */
#ifndef TRACE_GRAPH_H
#define TRACE_GRAPH_H

#include "base/result.h"
#include "store/store.h"
#include "trace/ids.h"
#include "trace/shipped.h"

/* Why an edge stands: the input is known, it lies within a known carry-over time, or the carry-over
 * is not known and reaches back to the last empty-and-clean. */
enum basis { BASIS_MEASURED = 0, BASIS_POSSIBLE = 1, BASIS_UNKNOWN = 2, BASIS_COUNT = 3 };

/* Sets of bases, a bit each. */
enum {
    BASES_MEASURED = 1 << BASIS_MEASURED,
    BASES_WITHOUT_UNKNOWN = 1 << BASIS_MEASURED | 1 << BASIS_POSSIBLE,
    BASES_ALL = 7
};

struct graph_edge {
    int64_t parent, child; /* lot ids */
    int64_t entry;         /* the daybook line behind it */
    int64_t mg;            /* mass of the parent in the child, not negative */
    enum basis basis;
};

/* A link holds a position and, in its two top bits, a basis. */
enum { LINK_BASIS_SHIFT = 30 };
#define LINK_POSITION(link) ((link) & ((UINT32_C(1) << LINK_BASIS_SHIFT) - 1))
#define LINK_BASIS(link) ((enum basis)((link) >> LINK_BASIS_SHIFT))

/* The sides have this many edges more than there are, all zero, so that a sum may read over. */
enum { GRAPH_PAD = 4 };

struct graph_side {
    uint32_t *offset; /* lot_count + 1; edges of position p: offset[p] .. offset[p + 1] */
    uint32_t *link;   /* the other end and the basis */
    int64_t *mg;
};

struct graph_late {
    uint32_t parent, child; /* positions */
    uint32_t next_out;      /* next late edge of the same parent, counted from 1; 0: none */
    uint32_t next_in;       /* next late edge of the same child */
    int64_t entry, mg;
    enum basis basis;
};

struct graph {
    uint32_t magic;
    uint32_t lot_count, lot_room;
    int64_t *lot;          /* id by position */
    int64_t *input_mg;     /* sum of the masses of all edges into a lot, struck ones left out */
    uint32_t packed_count; /* edges in the two sides */
    struct graph_side out, in;
    int64_t *out_entry; /* beside out.link */

    uint32_t late_count, late_room;
    struct graph_late *late;
    uint32_t *late_out,
        *late_in;           /* chain heads by position, counted from 1; NULL: no late edge yet */
    uint32_t against_count; /* late edges from a higher position to a lower one */
    uint32_t basis_count[BASIS_COUNT]; /* edges by basis */
    uint32_t massless_edges;           /* edges of zero mass */

    struct id_map ids;
    uint32_t *position_of_place; /* for ids; NULL: the same */
    struct id_list late_lots;    /* lots added since */

    struct shipped shipped;
};

/* Edges in any order; the same parent and child may stand several times. Errors: GENEALOGY_CYCLE,
 * GENEALOGY_MASS (a negative mass, or masses into one lot past 63 bits), GENEALOGY_LARGE. */
MUST_USE struct result graph_build(const struct graph_edge *edges, size_t count,
                                   struct graph **out);
/* Every edge and every shipped line of the record that is not struck. */
MUST_USE struct result graph_load(struct store *s, struct graph **out);
void graph_free(struct graph *g);

/* Adds the edges of a new entry. All of them or, on an error of graph_build, none. */
MUST_USE struct result graph_add(struct graph *g, const struct graph_edge *edges, size_t count);
/* Adds shipments and the lines in them. */
void graph_add_shipment(struct graph *g, int64_t id, const char *code, const char *customer);
/* GENEALOGY_SHIPMENT when a line names a shipment that was not added. */
MUST_USE struct result graph_add_shipped(struct graph *g, const struct shipped_line *lines,
                                         size_t count);
/* Takes out the edges and shipped lines of a struck entry. */
void graph_strike(struct graph *g, int64_t entry);

bool graph_find(const struct graph *g, int64_t lot, uint32_t *out_position);
/* All edges as they were given, in no fixed order; the caller frees *out. */
void graph_edges(const struct graph *g, struct graph_edge **out, size_t *out_count);

/* The edges of one lot, one by one. The graph must not change meanwhile. */
struct graph_step {
    uint32_t position; /* the other end */
    enum basis basis;
    int64_t mg;
    int64_t entry; /* 0 when walking back: an entry is kept once, with the parent */
};

struct graph_walk {
    const struct graph *graph;
    bool forward;
    uint32_t at, end; /* in the packed side */
    uint32_t late;    /* next late edge, counted from 1 */
};

struct graph_walk graph_walk_begin(const struct graph *g, uint32_t position, bool forward);
bool graph_walk_next(struct graph_walk *w, struct graph_step *out);

static inline uint32_t graph_edge_count(const struct graph *g)
{
    return g->packed_count + g->late_count;
}

#endif
