/* Cardinal temperatures and heat sums of the crops, to start with before the house has its own. */
#ifndef CALC_GROWTH_CROP_H
#define CALC_GROWTH_CROP_H

#include <stddef.h>

#include "calc/growth/heat_sum.h"

enum { CROP_CONSTANTS = 3 };

struct crop {
    const char *name; /* "soybean", "mung", "mung-short", "black-gram" */
    struct heat_sum_crop heat;
    const char *constant[CROP_CONSTANTS]; /* rows of calc/constants.h: base, optimum, goal */
};

size_t crop_count(void);
const struct crop *crop_at(size_t index);
/* NULL when there is no such name. */
const struct crop *crop_find(const char *name);

#endif
