/* The CT that water needs for a number of decimals, from the published tables: in proportion to the
 * decimals, CT = CT(table) * L / L(table).
 *
 * For viruses that lies at or above the tables' own 2 and 3 decimals. Above 25 C the last row
 * holds; halving with each further 10 C (published (seen)) is taken only when it is asked for. */
#ifndef CALC_WATER_CT_REQUIRED_H
#define CALC_WATER_CT_REQUIRED_H

#include "calc/water/ct_table.h"

struct ct_ask {
    enum ct_organism organism;
    enum ct_disinfectant disinfectant;
    double log; /* above 0; giardia to 3, virus to 4 */
    struct ct_water water;
    bool between; /* interpolated; giardia by free chlorine only */
    bool warm_halving;
};

struct ct_need {
    double ct;           /* mg min/L */
    struct ct_cell cell; /* what stands in the table */
};

/* FIELD_CHOICE on disinfectant or method where no table serves; NUMBER_BAD, FIELD_RANGE on log and
 * as ct_table_find. */
MUST_USE struct result ct_required(const struct ct_ask *ask, struct ct_need *out);

#endif
