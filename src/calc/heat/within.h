/* Numbers that a computation was given, held against the range it is valid in. */
#ifndef CALC_HEAT_WITHIN_H
#define CALC_HEAT_WITHIN_H

#include <float.h>

#include "base/result.h"

/* As the low end: anything above 0. */
#define WITHIN_ABOVE_ZERO DBL_MIN

/* NUMBER_BAD for what is not finite, FIELD_RANGE with the value and range_words for what lies
 * outside low .. high (both in it). */
MUST_USE struct result within(const char *field, double value, double low, double high,
                              const char *range_words);
/* The same for an item of a list: field[index]. */
MUST_USE struct result within_item(const char *field, size_t index, double value, double low,
                                   double high, const char *range_words);
/* CALC_OVERFLOW on the field, with its value, where a result is not finite. */
MUST_USE struct result finite_result(const char *field, double value, double result);

#endif
