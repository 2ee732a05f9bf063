/* What an entry gives reason to judge again. */
#ifndef LEDGER_JUDGE_SUBJECT_H
#define LEDGER_JUDGE_SUBJECT_H

#include "ledger/consequence.h"
#include "ledger/judge.h"

struct judge_subject {
    struct id_set lots;
    int64_t after_ms;           /* only decisions booked after this moment */
    struct id_set void_entries; /* evidence that counts for nothing any more */
    struct result void_reason;
    struct profile *profile; /* NULL: the one in force before; freed by the caller */
};
MUST_USE struct result judge_subject_of(struct consequence *c, struct judge_subject *out);

/* Adds the first column of what is left of a query. */
MUST_USE struct result judge_column(struct statement *q, struct id_set *out);

#endif
