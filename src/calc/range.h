/* Numbers that a computation was given, held against the range it is valid in. */
#ifndef CALC_RANGE_H
#define CALC_RANGE_H

#include "base/result.h"

/* FIELD_RANGE with the value and "from low to high" (both in it). */
MUST_USE struct result range_check(const char *field, int64_t value, int64_t low, int64_t high);
/* The same for a measured number; NUMBER_BAD where it is not finite. */
MUST_USE struct result range_number(const char *field, double value, double low, double high);

#endif
