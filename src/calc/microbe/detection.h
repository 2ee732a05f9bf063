/* The chance that a test for presence finds what is there.
 *
 *   P = 1 - (1 - Se (1 - (1 - pi + pi exp(-C V/k))^k))^n
 *
 * Cells are spread by chance at C in a share pi of the lot. n tests are made, each on an amount V
 * pooled from k sub-samples; Se is the chance that a test tells what it holds. pi = 1, k = 1, Se =
 * 1 is the homogeneous lot, 1 - exp(-C V n). Pooling is taken to cost no sensitivity but Se's.
 * Derived: Poisson counts, independent draws. */
#ifndef CALC_MICROBE_DETECTION_H
#define CALC_MICROBE_DETECTION_H

#include "base/result.h"

struct detection {
    double cells_per_kg; /* or L; 0 .. 1e15 */
    double portion_g;    /* or mL; of one test; 1e-6 .. 1e9 */
    double share;        /* 1e-9 .. 1 */
    double sensitivity;  /* 1e-6 .. 1 */
    int64_t pooled;      /* 1 .. 1e6 */
    int64_t tests;       /* 1 .. 1e6 */
    double confidence;   /* 0.5 .. 0.9999 */
};

struct detection_report {
    double chance_one;   /* of one test */
    double chance;       /* of at least one of them */
    bool reachable;      /* some level is found with the confidence asked for */
    double found_per_kg; /* the least such level; 0 where there is none */
};

/* FIELD_RANGE, NUMBER_BAD with the name of the member. */
MUST_USE struct result detection(const struct detection *d, struct detection_report *out);

#endif
