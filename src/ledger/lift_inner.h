/* Between decide_lift.c and the files that look at evidence for it; nobody else includes this. */
#ifndef LEDGER_LIFT_INNER_H
#define LEDGER_LIFT_INNER_H

#include "ledger/hold.h"

struct lift {
    struct draft *d;
    struct hold_row hold;
    struct id_set lots;            /* what it covers, as lots */
    struct id_set units;           /* or as units of lots */
    struct id_set kin;             /* those lots with what they came from */
    struct id_set cases;           /* the lots of those units */
    struct id_set here;            /* of these the lots of which a unit held is still here */
    int64_t evidence, evidence_ms; /* its entry; when it happened */
};

/* What a need is called for people; NULL: there is none of that name. */
const char *need_sentence(const char *name);
/* Does the evidence bring a need for something of what is held? Cases of several lots have nothing
 * in common but the hold: each lot of which one is still here needs it. The need must exist. */
MUST_USE struct result lift_brings(const struct lift *l, const char *need, bool *out);
/* The clauses named must hold for every lot covered, and the evidence must stand behind one of
 * them. */
MUST_USE struct result lift_by_clauses(struct lift *l, const char *words);
/* HOLD_EVIDENCE: it takes what the sentence says. */
MUST_USE struct result lift_no_evidence(const struct lift *l, const char *sentence);

#endif
