/* The rows of the microbe discipline for the registry. */
#ifndef CALC_MICROBE_ROWS_H
#define CALC_MICROBE_ROWS_H

#include "calc/registry.h"

#define MICROBE_MAY_INTEGER(n, w, lo, hi, fall)                                         \
    {                                                                                   \
        .name = n, .unit = "1", .what = w, .type = CALC_INTEGER, .low = lo, .high = hi, \
        .fallback = fall                                                                \
    }

/* The parts of a row that are named after it. */
#define MICROBE_ROW(stem)                                                              \
    .discipline = "microbe", .in = stem##_in, .in_count = CALC_COUNT(stem##_in),       \
    .out = stem##_out, .out_count = CALC_COUNT(stem##_out), .sources = stem##_sources, \
    .source_count = CALC_COUNT(stem##_sources), .cautions = stem##_cautions, .run = stem##_run

/* rows_detect.c: when to sample, how much, and what a sample can find. */
extern const struct calc_row microbe_detect_rows[];
extern const size_t microbe_detect_row_count;
/* rows_count.c: what a laboratory counted. */
extern const struct calc_row microbe_count_rows[];
extern const size_t microbe_count_row_count;
/* rows_plan.c: plans that accept or reject a lot. */
extern const struct calc_row microbe_plan_rows[];
extern const size_t microbe_plan_row_count;
/* rows_lots.c: inspection of lots in a series. */
extern const struct calc_row microbe_lot_rows[];
extern const size_t microbe_lot_row_count;

#endif
