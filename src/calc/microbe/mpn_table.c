#include "calc/microbe/mpn_table.h"

#include <math.h>

static const struct mpn_table_row three[] = {
    {{0, 0, 0}, MPN_TABLE_BELOW, 3, 0, 9.5, true},
    {{0, 0, 1}, MPN_TABLE_AT, 3, 0.15, 9.6, true},
    {{0, 1, 0}, MPN_TABLE_AT, 3, 0.15, 11, false},
    {{0, 1, 1}, MPN_TABLE_AT, 6.1, 1.2, 18, false},
    {{0, 2, 0}, MPN_TABLE_AT, 6.2, 1.2, 18, false},
    {{0, 3, 0}, MPN_TABLE_AT, 9.4, 3.6, 38, false},
    {{1, 0, 0}, MPN_TABLE_AT, 3.6, 0.17, 18, false},
    {{1, 0, 1}, MPN_TABLE_AT, 7.2, 1.3, 18, false},
    {{1, 0, 2}, MPN_TABLE_AT, 11, 3.6, 38, false},
    {{1, 1, 0}, MPN_TABLE_AT, 7.4, 1.3, 20, false},
    {{1, 1, 1}, MPN_TABLE_AT, 11, 3.6, 38, false},
    {{1, 2, 0}, MPN_TABLE_AT, 11, 3.6, 42, false},
    {{1, 2, 1}, MPN_TABLE_AT, 15, 4.5, 42, false},
    {{1, 3, 0}, MPN_TABLE_AT, 16, 4.5, 42, false},
    {{2, 0, 0}, MPN_TABLE_AT, 9.2, 1.4, 38, false},
    {{2, 0, 1}, MPN_TABLE_AT, 14, 3.6, 42, false},
    {{2, 0, 2}, MPN_TABLE_AT, 20, 4.5, 42, false},
    {{2, 1, 0}, MPN_TABLE_AT, 15, 3.7, 42, false},
    {{2, 1, 1}, MPN_TABLE_AT, 20, 4.5, 42, false},
    {{2, 1, 2}, MPN_TABLE_AT, 27, 8.7, 94, false},
    {{2, 2, 0}, MPN_TABLE_AT, 21, 4.5, 42, true},
    {{2, 2, 1}, MPN_TABLE_AT, 28, 8.7, 94, false},
    {{2, 2, 2}, MPN_TABLE_AT, 35, 8.7, 94, false},
    {{2, 3, 0}, MPN_TABLE_AT, 29, 8.7, 94, false},
    {{2, 3, 1}, MPN_TABLE_AT, 36, 8.7, 94, false},
    {{3, 0, 0}, MPN_TABLE_AT, 23, 4.6, 94, false},
    {{3, 0, 1}, MPN_TABLE_AT, 38, 8.7, 110, false},
    {{3, 0, 2}, MPN_TABLE_AT, 64, 17, 180, false},
    {{3, 1, 0}, MPN_TABLE_AT, 43, 9, 180, false},
    {{3, 1, 1}, MPN_TABLE_AT, 75, 17, 200, false},
    {{3, 1, 2}, MPN_TABLE_AT, 120, 37, 420, false},
    {{3, 1, 3}, MPN_TABLE_AT, 160, 40, 420, false},
    {{3, 2, 0}, MPN_TABLE_AT, 93, 18, 420, false},
    {{3, 2, 1}, MPN_TABLE_AT, 150, 37, 420, false},
    {{3, 2, 2}, MPN_TABLE_AT, 210, 40, 430, false},
    {{3, 2, 3}, MPN_TABLE_AT, 290, 90, 1000, false},
    {{3, 3, 0}, MPN_TABLE_AT, 240, 42, 1000, false},
    {{3, 3, 1}, MPN_TABLE_AT, 460, 90, 2000, false},
    {{3, 3, 2}, MPN_TABLE_AT, 1100, 180, 4100, false},
    {{3, 3, 3}, MPN_TABLE_ABOVE, 1100, 420, 0, true},
};

static const struct mpn_table_row five[] = {
    {{0, 0, 0}, MPN_TABLE_BELOW, 1.8, 0, 6.8, true},
    {{0, 0, 1}, MPN_TABLE_AT, 1.8, 0.09, 6.8, false},
    {{0, 1, 0}, MPN_TABLE_AT, 1.8, 0.09, 6.9, false},
    {{0, 2, 0}, MPN_TABLE_AT, 3.7, 0.7, 10, false},
    {{1, 0, 0}, MPN_TABLE_AT, 2, 0.1, 10, false},
    {{1, 0, 1}, MPN_TABLE_AT, 4, 0.7, 10, false},
    {{1, 1, 0}, MPN_TABLE_AT, 4, 0.7, 12, false},
    {{1, 1, 1}, MPN_TABLE_AT, 6.1, 1.8, 15, false},
    {{1, 2, 0}, MPN_TABLE_AT, 6.1, 1.8, 15, false},
    {{2, 0, 0}, MPN_TABLE_AT, 4.5, 0.79, 15, false},
    {{2, 0, 1}, MPN_TABLE_AT, 6.8, 1.8, 15, false},
    {{2, 1, 0}, MPN_TABLE_AT, 6.8, 1.8, 17, false},
    {{2, 1, 1}, MPN_TABLE_AT, 9.2, 3.4, 22, false},
    {{2, 2, 0}, MPN_TABLE_AT, 9.3, 3.4, 22, false},
    {{2, 3, 0}, MPN_TABLE_AT, 12, 4.1, 26, false},
    {{3, 0, 0}, MPN_TABLE_AT, 7.8, 2.1, 22, false},
    {{3, 0, 1}, MPN_TABLE_AT, 11, 3.5, 23, false},
    {{3, 1, 0}, MPN_TABLE_AT, 11, 3.5, 26, false},
    {{3, 1, 1}, MPN_TABLE_AT, 14, 5.6, 36, false},
    {{3, 2, 0}, MPN_TABLE_AT, 14, 5.7, 36, false},
    {{3, 2, 1}, MPN_TABLE_AT, 17, 6.8, 40, false},
    {{3, 3, 0}, MPN_TABLE_AT, 17, 6.8, 40, false},
    {{4, 0, 0}, MPN_TABLE_AT, 13, 4.1, 35, false},
    {{4, 0, 1}, MPN_TABLE_AT, 17, 5.9, 36, false},
    {{4, 0, 2}, MPN_TABLE_AT, 21, 6.8, 40, true},
    {{4, 1, 0}, MPN_TABLE_AT, 17, 6, 40, false},
    {{4, 1, 1}, MPN_TABLE_AT, 21, 6.8, 42, false},
    {{4, 2, 0}, MPN_TABLE_AT, 22, 6.8, 50, false},
    {{4, 2, 1}, MPN_TABLE_AT, 26, 9.8, 70, false},
    {{4, 3, 0}, MPN_TABLE_AT, 27, 9.9, 70, false},
    {{4, 3, 1}, MPN_TABLE_AT, 33, 10, 70, false},
    {{4, 4, 0}, MPN_TABLE_AT, 34, 14, 100, false},
    {{5, 0, 0}, MPN_TABLE_AT, 23, 6.8, 70, false},
    {{5, 0, 1}, MPN_TABLE_AT, 31, 10, 70, false},
    {{5, 1, 0}, MPN_TABLE_AT, 33, 10, 100, false},
    {{5, 1, 1}, MPN_TABLE_AT, 46, 14, 120, false},
    {{5, 1, 2}, MPN_TABLE_AT, 63, 22, 150, false},
    {{5, 2, 0}, MPN_TABLE_AT, 49, 15, 150, false},
    {{5, 2, 1}, MPN_TABLE_AT, 70, 22, 170, false},
    {{5, 2, 2}, MPN_TABLE_AT, 94, 34, 230, false},
    {{5, 3, 0}, MPN_TABLE_AT, 79, 22, 220, false},
    {{5, 3, 1}, MPN_TABLE_AT, 110, 34, 250, false},
    {{5, 3, 2}, MPN_TABLE_AT, 140, 52, 400, false},
    {{5, 4, 0}, MPN_TABLE_AT, 130, 36, 400, false},
    {{5, 4, 1}, MPN_TABLE_AT, 170, 58, 400, false},
    {{5, 4, 2}, MPN_TABLE_AT, 220, 70, 440, false},
    {{5, 5, 0}, MPN_TABLE_AT, 240, 70, 710, false},
    {{5, 5, 1}, MPN_TABLE_AT, 350, 100, 1100, false},
    {{5, 5, 2}, MPN_TABLE_AT, 540, 150, 1700, false},
    {{5, 5, 3}, MPN_TABLE_AT, 920, 220, 2600, false},
    {{5, 5, 4}, MPN_TABLE_AT, 1600, 400, 4600, false},
    {{5, 5, 5}, MPN_TABLE_ABOVE, 1600, 700, 0, true},
};

/* Amounts of a table's first tubes, of which each further level holds a tenth. */
#define FIRST_AMOUNT 0.1
#define STEP 10.0
#define ALIKE 1e-9

static bool is_decimal_series(const struct mpn_level *levels)
{
    for (size_t i = 1; i < MPN_TABLE_LEVELS; i++) {
        double ratio = levels[i - 1].amount / levels[i].amount;
        if (fabs(ratio - STEP) > STEP * ALIKE || levels[i].tubes != levels[0].tubes) {
            return false;
        }
    }
    return true;
}

const struct mpn_table_row *mpn_table_find(const struct mpn_level *levels, size_t count,
                                           double *out_scale)
{
    *out_scale = 1;
    if (count != MPN_TABLE_LEVELS || !is_decimal_series(levels)) {
        return NULL;
    }
    bool is_three = levels[0].tubes == 3;
    if (!is_three && levels[0].tubes != 5) {
        return NULL;
    }
    *out_scale = FIRST_AMOUNT / levels[0].amount;
    const struct mpn_table_row *rows = is_three ? three : five;
    size_t row_count = is_three ? sizeof three / sizeof *three : sizeof five / sizeof *five;
    for (size_t i = 0; i < row_count; i++) {
        const signed char *positive = rows[i].positive;
        if (positive[0] == levels[0].positive && positive[1] == levels[1].positive &&
            positive[2] == levels[2].positive) {
            return &rows[i];
        }
    }
    return NULL;
}
