/* How a sample stands for an organism, from all that was told of it. */
#ifndef LEDGER_FINDING_H
#define LEDGER_FINDING_H

#include "ledger/evidence.h"

enum finding_stand {
    STAND_MISSING,
    STAND_PENDING,
    STAND_PRESUMPTIVE,
    STAND_INVALID,
    STAND_NEGATIVE,
    STAND_POSITIVE
};

struct standing {
    enum finding_stand stand;
    const struct evidence_finding *row;    /* the one that counts; NULL when missing */
    const struct evidence_finding *second; /* its reading by another person; NULL: none */
};

/* A confirmed positive stays, whatever comes later. A presumptive is cleared only by a confirmed
 * negative of a method in confirms (comma list); a second reading changes nothing but that it was
 * read. sample: its place in the evidence. */
struct standing finding_standing(const struct evidence *e, size_t sample, const char *organism,
                                 const char *confirms);
/* Is any organism confirmed positive in it? */
bool sample_positive(const struct evidence *e, size_t sample);
/* Does a water sample say how its water is? What is pending is no result yet, an invalid one never
 * is. */
bool water_settled(const struct evidence *e, size_t sample);
const char *stand_text(enum finding_stand stand);

#endif
