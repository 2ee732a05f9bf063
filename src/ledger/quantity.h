/* A number with its unit, such as "150 mg/L". */
#ifndef LEDGER_QUANTITY_H
#define LEDGER_QUANTITY_H

#include "base/result.h"

/* -> 1/1000 of the unit. The unit must stand there as given ("" for none): UNIT_BAD, DECIMAL_BAD,
 * DECIMAL_FINE, DECIMAL_LARGE. */
MUST_USE struct result quantity_read(const char *text, const char *unit, const char *field,
                                     int64_t *out_milli);

#endif
