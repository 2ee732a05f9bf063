/* Where the mass of a set of lots came from and where it went: the percentage that a trace exercise
 * asks for. */
#ifndef TRACE_ACCOUNT_H
#define TRACE_ACCOUNT_H

#include "base/result.h"
#include "store/store.h"

struct account_line {
    const char *name; /* an account of the ledger: supplier water waste sample customer ... */
    int64_t in_mg;    /* came from there into the set */
    int64_t out_mg;   /* went there */
};

/* Each entry that moved a lot of the set counts with all its legs; the lots outside the set, taken
 * together, are one more place that mass comes from or goes to. Moves inside the set are neither.
 *
 *   produced = all that came in, but not what was found without a reason (account unexplained)
 *   accounted = all that went out, but not what was lost without a reason, plus what is here
 *
 * A lot that gave more than it had counts as zero here, so that then, as when something was found,
 * accounted lies above produced: a fault as well. All mg. */
struct account_sum {
    struct account_line *lines; /* by name */
    size_t line_count;
    int64_t from_lots_mg, to_lots_mg; /* lots outside the set */
    int64_t here_mg;                  /* balances above zero */
    int64_t owed_mg; /* what lots gave beyond what they had, as a positive amount */
    int64_t produced_mg, accounted_mg;
    int64_t accounted_ppm; /* of produced; 1000000 only when the two are equal; 0 without any */
};

/* lots: ascending ids, each once. here_mg: their balances. GENEALOGY_MASS when sums pass 63 bits.
 */
MUST_USE struct result account_read(struct store *s, const int64_t *lots, size_t count,
                                    const int64_t *here_mg, struct arena *a,
                                    struct account_sum *out);

#endif
