/* Lots inspected by sample, one after the other: how many sacks of a supplier's next delivery of an
 * item are looked at, how many pieces of a line's next packed lot of an item, and how many may be
 * bad, from what became of those before.
 *
 * ISO 2859-1, single sampling, normal and tightened, with its switching rules (calc/microbe/
 * sampling_plan.h, switching.h). Reduced inspection is never given: its acceptance numbers are not
 * held here, and details of its score are from memory. Where inspection was discontinued it is
 * taken up again, tightened: of a supplier by a new approval, of a line by a verification that
 * closes the deviation. */
#ifndef LEDGER_ACCEPTANCE_H
#define LEDGER_ACCEPTANCE_H

#include "calc/microbe/switching.h"
#include "ledger/draft.h"

/* Whose lots follow one another. */
struct acceptance_series {
    const char *check; /* "": deliveries; else the check of packed lots that counts pieces */
    const char *from;  /* supplier; line */
    const char *item;
};

struct acceptance_plan {
    enum inspection inspection; /* for the next lot; never reduced */
    int64_t samples, accept;
    bool recalled; /* the plan's row is from memory: to be verified with the standard */
};

/* What a lot of so many units gets at a moment. p asks it of the series. switching may be NULL:
 * where it stands then. */
MUST_USE struct result acceptance_plan(struct store *s, const struct profile *p,
                                       const struct acceptance_series *series, int64_t size,
                                       int64_t at_ms, struct acceptance_plan *out,
                                       struct switching *switching);
/* "RADICLE-1/MUNGSEED", "seal-check/P-1/M250": under which its lots are noted. */
const char *acceptance_code(struct arena *a, const struct acceptance_series *series);
/* Notes that a delivery is to be inspected and says so in the answer, where the profile asks it of
 * the item; held where inspection is discontinued. */
MUST_USE struct result acceptance_deliver(struct draft *d, int64_t lot, const char *supplier,
                                          const char *item, int64_t size);
/* May a lot be approved? Not before its delivery was accepted, where it is to be inspected. */
MUST_USE struct result acceptance_done(struct draft *d, int64_t lot, const char *code);

#endif
