/* The rows of the heat discipline for the registry. */
#ifndef CALC_HEAT_ROWS_H
#define CALC_HEAT_ROWS_H

#include "calc/registry.h"

/* rows.c: what a log is worth, and whether a recipe was kept. */
extern const struct calc_row heat_rows[];
extern const size_t heat_row_count;
/* rows_cold.c: cooling, and growth in the cold. */
extern const struct calc_row heat_cold_rows[];
extern const size_t heat_cold_row_count;
/* rows_sensor.c: what readings may be wrong by. */
extern const struct calc_row heat_sensor_rows[];
extern const size_t heat_sensor_row_count;
/* rows_value.c: the worst of D and z, pasteurisation units, cook values. */
extern const struct calc_row heat_value_rows[];
extern const size_t heat_value_row_count;
/* rows_resistance.c: D and z in their several forms, and what is left alive. */
extern const struct calc_row heat_resistance_rows[];
extern const size_t heat_resistance_row_count;
/* rows_regress.c: D and z from data, reductions from counts. */
extern const struct calc_row heat_regress_rows[];
extern const size_t heat_regress_row_count;
/* rows_survival.c: survivor curves that are not straight. */
extern const struct calc_row heat_survival_rows[];
extern const size_t heat_survival_row_count;
/* rows_bean.c: heat going into a bean; baths and cooling. */
extern const struct calc_row heat_bean_rows[];
extern const size_t heat_bean_row_count;
/* rows_seed.c: what heat does to a seed lot. */
extern const struct calc_row heat_seed_rows[];
extern const size_t heat_seed_row_count;
/* rows_juice.c: holding tube, heat exchanger, properties of juice. */
extern const struct calc_row heat_juice_rows[];
extern const size_t heat_juice_row_count;

#endif
