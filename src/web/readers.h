/* Read connections that the threads share: one is taken for a call and given back. With it come the
 * profile in force and, when asked for, the genealogy, each kept once for all and brought up to the
 * state of the record that the reader sees. */
#ifndef WEB_READERS_H
#define WEB_READERS_H

#include "service/plant.h"

struct day_orders;
struct graph;
struct kept_profile;
struct readers;
struct sentences;
struct warmth_kept;

/* Opens them all; before any other thread runs. */
MUST_USE struct result readers_open(const char *folder, struct world world, struct readers **out);
void readers_close(struct readers *r);

struct reading {
    struct readers *owner;
    struct plant *plant;
    const struct profile *profile; /* in force now; NULL: the house has none yet */
    const struct graph *graph;     /* NULL: not asked for */
    int64_t size;                  /* entries of the record */
    int64_t now_ms;
    struct sentences *sentences;   /* of entries, by profile; NULL without it */
    struct day_orders *day_orders; /* one for all */
    struct warmth_kept *warmth;    /* one for all */
    struct kept_profile *kept;     /* behind profile and sentences */
};

/* Waits for a free one and begins a transaction: one unmoving state of the record. The graph, when
 * wanted, stands at that state and does not move until reading_end. */
MUST_USE struct result reading_begin(struct readers *r, bool with_graph, struct reading *out);
/* Waits for a free one and begins no transaction, for what has one of its own. size and profile
 * stay unknown. */
MUST_USE struct result reading_take(struct readers *r, struct reading *out);
/* Harmless after a reading_begin that failed. */
void reading_end(struct reading *r);

#endif
