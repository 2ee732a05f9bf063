/* The rows of the heat discipline for the registry. */
#ifndef CALC_HEAT_ROWS_H
#define CALC_HEAT_ROWS_H

#include "calc/registry.h"

extern const struct calc_row heat_rows[];
extern const size_t heat_row_count;
/* rows_cold.c: cooling, and growth in the cold. */
extern const struct calc_row heat_cold_rows[];
extern const size_t heat_cold_row_count;

#endif
