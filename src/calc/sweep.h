/* One calculation over a range of one of its numbers: a curve in one call. */
#ifndef CALC_SWEEP_H
#define CALC_SWEEP_H

#include "base/json.h"

enum { SWEEP_POINTS = 41 };

/* in: the fields of the calculation, as for registry_call. over: a number or integer field of it.
 * low < high: the range; both 0: from half of the field's value to one and a half of it, within
 * what the field may be, and all of that where the value is 0. On success the caller owns *out:
 *   {"calculation", "over", "what", "unit", "at": the value in `in` or null, "x": [...],
 *    "curves": [{"name", "what", "unit", "y": [number or null]}]}
 * y: as computed, before rounding; null where the calculation refuses. Outputs that are no numbers,
 * and those that never are one, are left out.
 * Errors: CALC_UNKNOWN; FIELD_UNKNOWN, FIELD_RANGE on over, low and high; and where no point
 * answers, the error of the last. */
MUST_USE struct result calc_sweep(const char *name, const json_t *in, const char *over, double low,
                                  double high, struct arena *a, json_t **out);

#endif
