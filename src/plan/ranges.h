/* What a planning problem's members are held against, and how one that is wrong is named. */
#ifndef PLAN_RANGES_H
#define PLAN_RANGES_H

#include <math.h>
#include <stdio.h>

#include "base/result.h"

/* "crops[3].fills" and what is wrong with it. */
static inline struct result wrong(const char *list, int index, const char *member, const char *what)
{
    char field[64];
    snprintf(field, sizeof field, "%s[%d].%s", list, index, member);
    return FAIL1(PLAN_FIELD, field, what);
}

static inline bool below(int index, int count)
{
    return index >= 0 && index < count;
}

static inline bool positive(double x)
{
    return isfinite(x) && x > 0;
}

static inline bool not_negative(double x)
{
    return isfinite(x) && x >= 0;
}

#endif
