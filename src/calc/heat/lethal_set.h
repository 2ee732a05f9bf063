/* Published constants of log-linear heat resistance, to work a case out before a process authority
 * has signed the plant's own. All are stand-ins: a result that rests on one decides nothing. */
#ifndef CALC_HEAT_LETHAL_SET_H
#define CALC_HEAT_LETHAL_SET_H

#include <stdbool.h>
#include <stddef.h>

enum { LETHAL_SET_CONSTANTS = 3 };

struct lethal_set {
    const char *name;
    const char *title;
    double reference_c;
    double z_c;
    double d_s;
    bool has_tested_max;
    double tested_max_c;
    bool has_credit_max; /* z holds up to credit_max_c only */
    double credit_max_c;
    const char *constant[LETHAL_SET_CONSTANTS]; /* rows of calc/constants.h */
};

size_t lethal_set_count(void);
const struct lethal_set *lethal_set_at(size_t index);
/* NULL when there is no such name. */
const struct lethal_set *lethal_set_find(const char *name);

#endif
