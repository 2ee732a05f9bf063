/* Who may do a step now, and where: the house's own lists held against a command before it is
 * decided. */
#ifndef LEDGER_FIT_H
#define LEDGER_FIT_H

#include "ledger/draft.h"

/* Asked: refused. Told: booked with its deviation.
 * - a step that the profile asks training for, by somebody whose training is not valid then;
 * - a step on open product by somebody whose last health check of the last day was not passed;
 * - the start of work at a place where an overdue duty blocks, or where a work order is not handed
 * back.
 */
MUST_USE struct result draft_fit(struct draft *d);

/* Is the training that a step asks for valid for a person at a moment? *out_name: the training,
 * NULL where none is asked for. */
MUST_USE struct result training_valid(struct store *s, const struct profile *p, const char *step,
                                      int64_t person, int64_t at_ms, const char **out_name,
                                      bool *out_valid);

#endif
