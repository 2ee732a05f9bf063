/* Water that a lot met: which water system it came from, and when. It is kept as a reading of kind
 * "watering" of the lot, and the water clause asks for the state of that system alone
 * (clause_line.c).
 */
#ifndef LEDGER_WATERING_H
#define LEDGER_WATERING_H

#include "ledger/view.h"

/* The water system that a field names, NULL where it is left out: PLACE_UNKNOWN when it is none.
 * One that is stopped: WATER_STOPPED, asked; told, a deviation. */
MUST_USE struct result watering_source(struct draft *d, const char *key, enum json_need need,
                                       const char **out_source);
/* The nth lot (from 0) that a step at a place met with water of a source; nothing when that is
 * NULL.
 */
void watering_add(struct draft *d, size_t n, const char *place, int64_t lot, const char *source,
                  int64_t from_ms, int64_t to_ms);

#endif
