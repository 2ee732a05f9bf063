/* A laboratory's count for the record: whole numbers in, plain decimals of three figures out, each
 * rounded to the side on which it claims less. */
#ifndef CALC_MICROBE_LAB_COUNT_H
#define CALC_MICROBE_LAB_COUNT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/result.h"

enum { LAB_COUNT_ROWS_MAX = 12, LAB_COUNT_TEXT = 64 };

struct lab_count {
    const char *state;           /* of tubes: measured, none, all; of plates: as plate_count.h */
    char per_ml[LAB_COUNT_TEXT]; /* up; "0" where none */
    char low[LAB_COUNT_TEXT];    /* down; "0" where there is none */
    char high[LAB_COUNT_TEXT];   /* up; "" where there is none */
    bool unlikely; /* tubes that hardly ever fall so: rarity category 3, or under 1e-4 */
};

/* Volumes in millionths of a mL (nL), 1 or more; rows 1 .. LAB_COUNT_ROWS_MAX. FIELD_RANGE on
 * tubes, positive; and what mpn.h and plate_count.h refuse. */
MUST_USE struct result lab_count_tubes(const int64_t *volume_nl, const int64_t *tubes,
                                       const int64_t *positive, size_t rows, struct lab_count *out);
MUST_USE struct result lab_count_plates(const int64_t *volume_nl, const int64_t *colonies,
                                        size_t rows, struct lab_count *out);

#endif
