/* Between the evidence_*.c files; nobody else includes this. */
#ifndef LEDGER_EVIDENCE_INNER_H
#define LEDGER_EVIDENCE_INNER_H

#include "ledger/evidence.h"
#include "ledger/kin.h"

struct collector {
    struct store *store;
    struct arena *arena;
    struct evidence *e;
    int64_t *positive_lots; /* ids, rising */
    size_t positive_count;
    struct id_set entries; /* whose teller and reviews are known */
};

/* A text column kept; null reads as "". */
const char *evidence_text(struct collector *c, struct statement *q, int column);
/* A text column kept; null stays NULL. */
const char *evidence_text_or_null(struct collector *c, struct statement *q, int column);

MUST_USE struct result evidence_of_seed(struct collector *c, size_t lot);
MUST_USE struct result evidence_of_samples(struct collector *c, size_t lot);
/* After all contacts and waterings are known. */
MUST_USE struct result evidence_of_water(struct collector *c);
/* Likewise. */
MUST_USE struct result evidence_of_waters(struct collector *c);
MUST_USE struct result evidence_swabs(struct collector *c);

MUST_USE struct result evidence_of_contacts(struct collector *c, size_t lot);
/* After all contacts are known. */
MUST_USE struct result evidence_of_surfaces(struct collector *c);
MUST_USE struct result evidence_of_checks(struct collector *c);
MUST_USE struct result evidence_environments(struct collector *c);

#endif
