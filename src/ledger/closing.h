/* Days on which the house is closed: what it does not do then, and when goods leave instead. */
#ifndef LEDGER_CLOSING_H
#define LEDGER_CLOSING_H

#include "ledger/profile.h"

enum { CLOSING_BACK_DAYS = 31 };

/* What of enum closes is not done on the day, as bits. */
unsigned closing_of(const struct profile *p, int32_t day);
/* The first row of the profile that keeps any of what from being done on the day; NULL: none. */
const struct closing *closing_on(const struct profile *p, int32_t day, unsigned what);
/* The day on which goods leave that are wanted on day: that day; where nothing is dispatched on it,
 * the open day before, if it is not before not_before and at most CLOSING_BACK_DAYS earlier; else
 * the day itself. */
int32_t closing_leaves(const struct profile *p, int32_t day, int32_t not_before);
/* "soak", "harvest", "pack", "dispatch" for one bit. */
const char *closing_id(enum closes what);

#endif
