/* A lot of a chemical held against its use. */
#ifndef LEDGER_CHEMICAL_H
#define LEDGER_CHEMICAL_H

#include "ledger/draft.h"

/* May the lot be used as that agent at a moment? *out_why: NULL, or why not, for the record.
 * CHEMICAL_UNKNOWN. */
MUST_USE struct result chemical_good(struct draft *d, const char *code, const char *agent,
                                     int64_t at_ms, const char **out_why);

#endif
