/* Whole numbers out of doubles, to the side named. What a decimal lost in binary is put right
 * first: 85.2 * 1000 is 85200, and eight kilograms of a product of shares do not come out a
 * milligram short. */
#ifndef CALC_WHOLE_H
#define CALC_WHOLE_H

#include <math.h>
#include <stdint.h>

#include "base/check.h"

/* Beyond it a double no longer tells neighbouring whole numbers apart. */
#define WHOLE_MAX 9e15

static inline double whole_meant(double value, double otherwise)
{
    double near = round(value);
    CHECK(fabs(value) < WHOLE_MAX);
    return fabs(value - near) <= 1e-6 + fabs(value) * 1e-14 ? near : otherwise;
}

static inline int64_t whole_down(double value)
{
    return (int64_t)whole_meant(value, floor(value));
}

static inline int64_t whole_up(double value)
{
    return (int64_t)whole_meant(value, ceil(value));
}

static inline int64_t whole_near(double value)
{
    return (int64_t)whole_meant(value, round(value));
}

#endif
