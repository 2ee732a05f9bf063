/* A small house in a scratch record: one supplier lot in two deliveries, a chamber, a wash line,
 * two packed lots, one customer each and one of both, a sample, a hold and rework. Masses in the
 * house are in kilograms here, milligrams in the record. */
#ifndef TESTS_TRACE_HOUSE_H
#define TESTS_TRACE_HOUSE_H

#include "fill.h"

enum house_lot {
    HOUSE_SUPPLIER = 4096,       /* SUP-1 */
    HOUSE_SEED_A = 2 * 4096,     /* SEED-A, 10 kg, of SUP-1 */
    HOUSE_SEED_B = 3 * 4096,     /* SEED-B, 10 kg, of SUP-1 */
    HOUSE_GROWING = 4 * 4096,    /* GROW-1: 6 kg of A, 4 kg of B */
    HOUSE_HARVEST = 5 * 4096,    /* HARV-1: 80 kg, 70 of it water */
    HOUSE_PACK_1 = 6 * 4096,     /* PACK-1: 40 kg, 160 pieces */
    HOUSE_PACK_2 = 6 * 4096 + 1, /* PACK-2: 30 kg, 120 pieces */
    HOUSE_OTHER = 7 * 4096,      /* OTHER-1: 20 kg of another house's */
    HOUSE_PACK_3 = 8 * 4096,     /* PACK-3: of OTHER-1; perhaps of HARV-1, carry-over unknown */
    HOUSE_REWORK = 9 * 4096,     /* REW-1: 5 kg out of PACK-1 */
    HOUSE_ALONE = 20 * 4096,     /* ALONE-1: never used */
};

/* The record, in a transaction; what leaves: SHIP-1 to root.example, SHIP-2 to leaf.example. */
struct store *house_open(void);

#endif
