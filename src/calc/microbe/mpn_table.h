/* The printed tables for three and five tubes of 0.1, 0.01 and 0.001 g, with their own limits.
 *
 * US FDA Bacteriological Analytical Manual, appendix 2, tables 1 and 2. Their limits come from
 * another, iterative method and cannot be worked out from a formula here: they are kept as printed.
 * The numbers were seen in copies (Analytical Food Microbiology, table 3.2) and agree with the
 * computed MPN; the limits are from memory but for the rows marked seen. */
#ifndef CALC_MICROBE_MPN_TABLE_H
#define CALC_MICROBE_MPN_TABLE_H

#include "calc/microbe/mpn.h"

enum { MPN_TABLE_LEVELS = 3 };
enum mpn_table_sign { MPN_TABLE_AT, MPN_TABLE_BELOW, MPN_TABLE_ABOVE };

struct mpn_table_row {
    signed char positive[MPN_TABLE_LEVELS];
    enum mpn_table_sign sign;
    double mpn;  /* per g */
    double low;  /* 0: none */
    double high; /* 0: none */
    bool seen;   /* limits published (seen); else from memory */
};

/* NULL where no table has this series or this outcome. levels as mpn takes them, the largest amount
 * first, each a tenth of the one before. *out_scale: what the row's numbers are to be multiplied
 * by, since a series may begin with another amount. */
const struct mpn_table_row *mpn_table_find(const struct mpn_level *levels, size_t count,
                                           double *out_scale);

#endif
