/* Deliveries inspected by sample, lot by lot: how many sacks of the next delivery of a supplier's
 * item are looked at, and how many may be bad, from what became of those before it.
 *
 * ISO 2859-1, single sampling, normal and tightened, with its switching rules (calc/microbe/
 * sampling_plan.h, switching.h). Reduced inspection is never given: its acceptance numbers are not
 * held here. A supplier whose inspection was discontinued is taken up again, tightened, by a new
 * approval. */
#ifndef LEDGER_ACCEPTANCE_H
#define LEDGER_ACCEPTANCE_H

#include "calc/microbe/switching.h"
#include "ledger/draft.h"

struct acceptance_plan {
    enum inspection inspection; /* for the next delivery; never reduced */
    int64_t samples, accept;
    bool recalled; /* the plan's row is from memory: to be verified with the standard */
};

/* What a delivery of so many units gets at a moment. p names the item in acceptance. */
MUST_USE struct result acceptance_plan(struct store *s, const struct profile *p,
                                       const char *supplier, const char *item, int64_t size,
                                       int64_t at_ms, struct acceptance_plan *out);
/* Notes that a delivery is to be inspected and says so in the answer, where the profile asks it of
 * the item; held where inspection is discontinued. */
MUST_USE struct result acceptance_deliver(struct draft *d, int64_t lot, const char *supplier,
                                          const char *item, int64_t size);
/* May a lot be approved? Not before its delivery was accepted, where it is to be inspected. */
MUST_USE struct result acceptance_done(struct draft *d, int64_t lot, const char *code);

#endif
