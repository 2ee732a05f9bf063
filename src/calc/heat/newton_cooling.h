/* Cooling by Newton's law, for planning: how long a batch takes, and the largest time factor that
 * keeps a rule.
 *
 *   t = f log10(j (T0 - Ta)/(T - Ta))      f: time for a tenfold smaller difference, j: lag
 *
 * Heat penetration form; computed here. */
#ifndef CALC_HEAT_NEWTON_COOLING_H
#define CALC_HEAT_NEWTON_COOLING_H

#include "base/result.h"

struct newton_cooling {
    double start_c;   /* -60 .. 300 */
    double ambient_c; /* below target_c */
    double target_c;  /* below start_c */
    double lag_j;     /* 0.1 .. 10 */
};

/* Time factors f that the way from start to target takes; 0 where it is there at once. NUMBER_BAD,
 * FIELD_RANGE on start_c, target_c, ambient_c, lag_j. */
MUST_USE struct result newton_factors(const struct newton_cooling *way, double *out);
/* time_min for f_min 0.001 .. 1e6. */
MUST_USE struct result newton_time(const struct newton_cooling *way, double f_min, double *out_min);

#endif
