/* The reference constants as a table: what constants/ holds, built into the program.
 *
 * Code uses the macros of calc/constants.gen.h (CONSTANT_ and the name in capitals); answers and
 * pages look the same rows up here by name, so that a number never goes out without its source. */
#ifndef CALC_CONSTANTS_H
#define CALC_CONSTANTS_H

#include <stdbool.h>
#include <stddef.h>

struct constant {
    const char *name;
    double value;
    const char *unit;
    bool has_range;
    double low;
    double high;
    const char *source;
    const char *locator;
    const char *word; /* one of the six words of provenance */
};

size_t constant_count(void);
/* index < constant_count() */
const struct constant *constant_at(size_t index);
/* NULL when there is no such name. */
const struct constant *constant_find(const char *name);
/* From memory or common practice: such a value never releases a lot
 * and never widens a limit. */
bool constant_is_weak(const struct constant *c);

#endif
