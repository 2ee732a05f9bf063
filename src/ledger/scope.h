/* The scope of a confirmed positive: everything that may have met it, found by walking the record.
 *
 * After 21 CFR 112.148 with 112.142(b) (published (seen) and from memory: a rule that holds, holds)
 * and the recall list that goes with it. A lot may be in it for several reasons; each reason
 * becomes a hold of its own, as each asks for its own way out. */
#ifndef LEDGER_SCOPE_H
#define LEDGER_SCOPE_H

#include "ledger/kin.h"
#include "ledger/profile.h"

enum scope_why {
    WHY_BATCH,     /* the batch of the sample, and everything made from it */
    WHY_SEED,      /* its seed lots, their supplier lots, and other deliveries of these */
    WHY_SAME_SEED, /* what else was made from that seed */
    WHY_SURFACE,   /* what touched a surface after it and before the next valid clean, and on */
    WHY_WATER,     /* what was watered from the same recirculated water after it, and on */
    WHY_COUNT
};
const char *scope_why_text(enum scope_why why);

struct scope_lots {
    struct id_set lots[WHY_COUNT]; /* a lot stands under its first reason only, but for WHY_SURFACE
                                      and WHY_WATER, which may share lots with WHY_SAME_SEED */
    const char **places;           /* contact surfaces that the batch touched */
    size_t place_count;
};

/* lot: the one that was sampled. Errors as store.h. */
MUST_USE struct result scope_find(struct store *s, const struct profile *p, struct arena *a,
                                  int64_t lot, struct scope_lots *out);

#endif
