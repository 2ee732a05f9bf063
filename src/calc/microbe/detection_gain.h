/* What waiting before the water sample is taken gains: cells that grow first are found more easily.
 *
 *   C = N0 10^G f / Vw, P = 1 - exp(-C v)
 *
 * N0 cells in the batch at first, G their rise in log10, f the share that the water carries off, Vw
 * the water they are in, v the volume tested. Derived: Poisson counts in well-mixed water. */
#ifndef CALC_MICROBE_DETECTION_GAIN_H
#define CALC_MICROBE_DETECTION_GAIN_H

#include "base/result.h"

struct detection_gain {
    double cells;      /* 0 .. 1e12 */
    double rise_log10; /* -5 .. 15 */
    double shed;       /* 0 .. 1 */
    double water_l;    /* 1e-6 .. 1e9 */
    double sample_l;   /* 0 .. water_l */
};

struct detection_gain_report {
    double cells_per_l;
    double chance;          /* of finding at least one cell */
    double chance_unwaited; /* the same with a rise of zero */
};

/* FIELD_RANGE, NUMBER_BAD with the name of the member. */
MUST_USE struct result detection_gain(const struct detection_gain *g,
                                      struct detection_gain_report *out);

#endif
