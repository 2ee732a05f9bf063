/* Deliveries agreed with suppliers and not here yet: seed, ingredients, packaging, fruit. Told
 * under a code, changed under the same code, taken back with active false; what receipts that name
 * it brought is taken off. */
#ifndef LEDGER_AGREED_H
#define LEDGER_AGREED_H

#include "ledger/listed.h"

struct agreed {
    const char *code, *item, *supplier, *terms; /* terms: "" none */
    int32_t day;                                /* on which it is to come */
    int64_t mass_mg, come_mg;                   /* in all; received so far */
    int64_t piece_mg;                           /* agreed by the piece: of one; 0: by mass */
    int64_t entry;
};

/* Those still awaited on a day, by code; everything in the arena. Awaited is what is not taken
 * back and has not come in full; once its day is over, only that of which nothing came. */
MUST_USE struct result agreed_awaited(struct store *s, struct arena *a, int32_t today,
                                      struct agreed **out, size_t *out_count);
/* What is still to come of it; at least 0. */
int64_t agreed_left_mg(const struct agreed *x);
/* The same of one agreed by the piece, rounded up; 0: by mass. */
int64_t agreed_left_pieces(const struct agreed *x);
/* Its day is over and nothing of it came: nobody knows when it will. */
bool agreed_late(const struct agreed *x, int32_t today);

/* The delivery a receipt names in "delivery": so much of it has come, as this lot; pieces 0: it was
 * weighed. Pieces of a delivery agreed by the piece count as heavy as agreed. Without the field
 * nothing is done. DELIVERY_UNKNOWN, DELIVERY_OTHER. */
MUST_USE struct result agreed_come(struct draft *d, const char *supplier, const char *item,
                                   int64_t lot, int64_t mass_mg, int64_t pieces);

#endif
