/* The rows of the water discipline for the registry. */
#ifndef CALC_WATER_ROWS_H
#define CALC_WATER_ROWS_H

#include "calc/registry.h"

/* rows_ct.c: chlorine in water and its contact time. */
extern const struct calc_row water_ct_rows[];
extern const size_t water_ct_row_count;
/* rows_loop.c: recirculated water and the chlorine that it eats. */
extern const struct calc_row water_loop_rows[];
extern const size_t water_loop_row_count;
/* rows_dose.c: making up a sanitiser, and its limits. */
extern const struct calc_row water_dose_rows[];
extern const size_t water_dose_row_count;
/* rows_check.c: readings held against limits; light; back-flow. */
extern const struct calc_row water_check_rows[];
extern const size_t water_check_row_count;

#endif
