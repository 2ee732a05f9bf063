/* Equivalent minutes that trades count heat by, and the damage to cooked quality.
 *
 *   pasteurisation units   F in minutes at the set's reference temperature, of the coldest spot
 *   cook value             the same integral of the hottest spot, with a larger z; it is a cost, so
 *                          it errs upwards: readings plus their uncertainty, silences at the hotter
 *                          end */
#ifndef CALC_HEAT_HEAT_VALUE_H
#define CALC_HEAT_HEAT_VALUE_H

#include "calc/heat/heat_log.h"

enum { HEAT_VALUE_CONSTANTS = 2 };

struct heat_value_set {
    const char *name;
    const char *title;
    double reference_c;
    double z_c;
    const char *constant[HEAT_VALUE_CONSTANTS]; /* rows of calc/constants.h */
};

size_t heat_value_set_count(void);
/* index < heat_value_set_count() */
const struct heat_value_set *heat_value_set_at(size_t index);
/* NULL when there is no such name. */
const struct heat_value_set *heat_value_set_find(const char *name);

struct cook_value {
    double best_min;  /* of the hottest readings as they are, straight lines everywhere */
    double upper_min; /* the same plus uncertainty, silences at the hotter end; best <= upper */
    size_t gaps;
};

/* Fewer than two different times: 0. gap_max_ms above 0. Errors: those of heat_log_check and
 * lethal_scale_make; FIELD_RANGE on gap_max_ms; CALC_OVERFLOW on z_c. */
MUST_USE struct result cook_value(const struct heat_log *log, double reference_c, double z_c,
                                  int64_t gap_max_ms, struct cook_value *out);

#endif
