/* The rows of the growth discipline for the registry. */
#ifndef CALC_GROWTH_ROWS_H
#define CALC_GROWTH_ROWS_H

#include "calc/registry.h"

/* rows.c: seed and its tests. */
extern const struct calc_row growth_seed_rows[];
extern const size_t growth_seed_row_count;
/* rows_bed.c: from seed to packs, and the days in between. */
extern const struct calc_row growth_bed_rows[];
extern const size_t growth_bed_row_count;

#endif
