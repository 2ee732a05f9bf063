/* Standing orders: what a customer takes on the same weekdays until it says otherwise, beyond what
 * stands in the order book. */
#ifndef LEDGER_STANDING_H
#define LEDGER_STANDING_H

#include "ledger/listed.h"

struct standing {
    const char *code, *customer, *item, *terms; /* terms: "" none */
    unsigned weekdays;                          /* bit 0 Monday ... bit 6 Sunday */
    int64_t pieces;                             /* on each of them */
    int32_t from_day, to_day;                   /* both included; INT32_MAX: until further notice */
    int64_t entry;
};

/* Those that are not taken back, by code, ended ones among them; everything in the arena. */
MUST_USE struct result standing_all(struct store *s, struct arena *a, struct standing **out,
                                    size_t *out_count);
/* Is it wanted on the day? */
bool standing_on(const struct standing *x, int32_t day);

#endif
