/* The input of a calculation against its row's fields. */
#ifndef CALC_INPUT_H
#define CALC_INPUT_H

#include "calc/registry.h"

/* On success the caller owns *out: the fields given, and the defaults of those that were not, in
 * the row's order. in NULL counts as empty. Errors name the field, an item as name[i] or
 * name[i][j]: FIELD_UNKNOWN, FIELD_MISSING, FIELD_TYPE, FIELD_RANGE, FIELD_CHOICE. */
MUST_USE struct result calc_input_check(const struct calc_row *row, const json_t *in, json_t **out);

/* "from 0 to 300 C", "0 C or more", ...: the range of a field in words; "" where it has none. */
const char *calc_range_words(const struct calc_field *field, struct arena *a);

#endif
