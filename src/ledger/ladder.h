/* The ladder for Listeria on surfaces: what a detection asks for by the zone of its site and by
 * what was found there before (common practice above the six actions of 21 CFR 112.146, published
 * (seen)). */
#ifndef LEDGER_LADDER_H
#define LEDGER_LADDER_H

#include "ledger/view.h"

struct rung {
    const char *site; /* NULL: the swab names no site on the house's list */
    int64_t zone;     /* 0: not known */
    bool holds;       /* product is held until somebody decides */
    bool repeated;    /* another detection at the site within 90 days */
    int64_t from_ms;  /* product made from then on is covered */
    int64_t clear;    /* negatives in a row at the site that close the action */
};

/* place: where; location: of the sample, a site's code where it is one. A surface that product
 * touches holds product; a site of zone 1 always, one of zone 2 for L. monocytogenes; one that the
 * house lists in zone 3 or 4 does not. A repeat in zone 1, or L. monocytogenes there, reaches back
 * to the last negative at the site. */
MUST_USE struct result ladder_rung(struct store *s, struct arena *a, const struct profile *p,
                                   const char *place, const char *location, const char *organism,
                                   int64_t taken_ms, struct rung *out);

#endif
