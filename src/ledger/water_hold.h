/* Everything that met a water in a stretch of time, held: what came off its place, and what was
 * watered with it. */
#ifndef LEDGER_WATER_HOLD_H
#define LEDGER_WATER_HOLD_H

#include "ledger/draft.h"

/* from 0: from the beginning. The answer gets "holds" and "lots", the codes of both. */
MUST_USE struct result water_hold(struct draft *d, const char *place, int64_t from_ms,
                                  int64_t to_ms, const char *reason);

#endif
